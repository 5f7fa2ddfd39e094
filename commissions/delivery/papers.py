"""Papers that go with the ring, as PDFs; in surprise mode their names say nothing."""

from __future__ import annotations

from django.core.files.storage import default_storage
from django.http import Http404
from django.utils import translation
from django.utils.translation import gettext_lazy as _

from commissions.bench.queries import released_photos
from commissions.delivery import customs, queries, ring
from commissions.money import queries as money
from commissions.record.models import Commission
from studio import papers

NAMES = {
    "ring-record": _("Ring record"),
    "care-plan": _("Care plan"),
    "delivery-note": _("Delivery note"),
    "valuation": _("Valuation summary"),
    "customs": _("Sheet for customs"),
}
CLIENTS = ("ring-record", "care-plan", "delivery-note", "valuation")
"""Papers that the client has; the sheet for customs is the studio's."""
PICTURES = 4


def shelf(*, commission: Commission) -> list[tuple[str, str]]:
    """The papers that a client can have now: kind and name, neutral while the ring is a surprise."""
    record = queries.ring_record(commission=commission)
    rows = [kind for kind in CLIENTS if record is not None or kind not in ("ring-record", "valuation")]
    if queries.shipment_of(commission=commission) is None:
        rows.remove("delivery-note")
    return [(kind, name_of(kind=kind, commission=commission)) for kind in rows]


def name_of(*, kind: str, commission: Commission) -> str:
    """What a paper is called where others may see it: in a title, on a download."""
    if commission.discreet:
        return str(_("Paper %(number)d")) % {"number": list(NAMES).index(kind) + 1}
    return str(NAMES[kind])


def file_name(*, kind: str, commission: Commission) -> str:
    """The name under which a paper is saved."""
    word = f"paper-{list(NAMES).index(kind) + 1}" if commission.discreet else kind
    return f"{word}-{commission.reference}.pdf"


def make(*, kind: str, commission: Commission, language: str) -> papers.Paper:
    """
    One paper in a language.

    Raises:
        Http404: there is no such paper yet.
    """
    record = queries.ring_record(commission=commission)
    shipment = queries.shipment_of(commission=commission)
    if kind not in NAMES or (kind in ("ring-record", "valuation") and record is None):
        raise Http404
    if kind == "delivery-note" and shipment is None:
        raise Http404
    context = {
        "commission": commission,
        "reference": commission.reference,
        "language": language,
        "paper_name": name_of(kind=kind, commission=commission),
        "record": record,
        "facts": record.facts if record else None,
        "fingerprint": ring.short(record.digest) if record else "",
        "shipment": shipment,
        "care": queries.care_of(commission=commission),
    }
    if kind == "ring-record":
        context["pictures"] = _pictures(commission)
    if kind == "valuation":
        context["sums"] = money.agreed_sums(commission=commission)
    if kind == "customs":
        context["customs"] = customs.sheet_of(commission=commission)
    with translation.override(language):
        return papers.make(template=f"print/{kind.replace('-', '_')}.html", context=context)


def _pictures(commission: Commission) -> list[dict]:
    rows = [row for row in released_photos(commission=commission).exclude(shot="") if row.picture.is_ready]
    return [
        {
            "src": "file://" + default_storage.path(row.picture.renditions["1000"]["jpeg"]),
            "words": ", ".join(filter(None, (str(row), row.scale))),
        }
        for row in rows[:PICTURES]
    ]
