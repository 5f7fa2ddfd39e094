"""
Papers that go with the ring, as PDFs; in surprise mode their names say nothing.

What a paper says is gathered once as plain values (``data_of``) and drawn from those alone (``draw``), so that
a paper that was handed over is drawn from what was so on that day, however late its bytes are made.
"""

from __future__ import annotations

import datetime

from django.conf import settings
from django.core.files.storage import default_storage
from django.http import Http404
from django.utils import translation
from django.utils.translation import gettext_lazy as _

from commissions.bench.queries import released_photos
from commissions.delivery import customs, queries, ring
from commissions.delivery.models import KeptPaper, RingRecord
from commissions.money import queries as money
from commissions.record.models import Commission
from studio import clock, papers

NAMES = {
    "ring-record": _("Ring record"),
    "care-plan": _("Care plan"),
    "delivery-note": _("Delivery note"),
    "valuation": _("Valuation summary"),
    "customs": _("Sheet for customs"),
}
CLIENTS = ("ring-record", "care-plan", "delivery-note", "valuation")
"""Papers that the client has; the sheet for customs is the studio's."""
OF_THE_RECORD = ("ring-record", "valuation")
"""Papers that quote the ring record, and are kept anew with a newer one."""
NEUTRAL = ("delivery-note",)
"""Papers whose words say nothing of a ring: of a surprise they alone lie in the parcel or open without a passphrase."""
WITH_SUMS = ("valuation", "customs")
"""Papers with sums on them: in the studio they are the owner's."""
PICTURES = 4


def name_of(*, kind: str, commission: Commission) -> str:
    """What a paper is called where others may see it: in a title, on a download."""
    if commission.discreet:
        return str(_("Paper %(number)d")) % {"number": list(NAMES).index(kind) + 1}
    return str(NAMES[kind])


def file_name(*, kind: str, commission: Commission, edition: int = 1) -> str:
    """The name under which a paper is saved."""
    word = f"paper-{list(NAMES).index(kind) + 1}" if commission.discreet else kind
    return f"{word}-{commission.reference}{f'-{edition}' if edition > 1 else ''}.pdf"


def is_sealed(*, kind: str, commission: Commission) -> bool:
    """Whether a paper of a surprise asks its client for the passphrase first: its words would tell."""
    return commission.discreet and kind not in NEUTRAL


def data_of(*, kind: str, commission: Commission) -> dict | None:
    """What a paper says now, as plain values; None where there is no such paper yet."""
    record = queries.ring_record(commission=commission)
    shipment = queries.shipment_of(commission=commission)
    if kind in OF_THE_RECORD and record is None:
        return None
    if kind == "ring-record":
        return {"record": record.pk, "pictures": _pictures(commission)}
    if kind == "valuation":
        made = commission.ring or commission
        return {
            "record": record.pk,
            "sums": money.agreed_sums(commission=made),
            "currency": made.currency,
            "as_of": clock.today().isoformat(),
        }
    if kind == "care-plan":
        rows = queries.care_of(commission=commission)
        return {"care": [[row.client_words, row.due_on.isoformat()] for row in rows]}
    if kind == "delivery-note" and shipment is not None:
        return {
            "ring_mg": shipment.ring_mg,
            "seal": shipment.seal,
            "carrier": " ".join(filter(None, (shipment.carrier, shipment.service, shipment.tracking))),
            "packed_on": shipment.packed_at.date().isoformat() if shipment.packed_at else "",
        }
    return {"customs": customs.sheet_of(commission=commission)} if kind == "customs" else None


def draw(
    *, kind: str, commission: Commission, data: dict, language: str, kept: KeptPaper | None = None
) -> papers.Paper:
    """The PDF of a paper from what it says; a draft where it is not kept."""
    record = RingRecord.objects.filter(pk=data.get("record")).first()
    context = {
        **data,
        "commission": commission,
        "reference": commission.reference,
        "language": language,
        "paper_name": name_of(kind=kind, commission=commission),
        "kept": kept,
        "record": record,
        "facts": record.facts if record else None,
        "fingerprint": ring.short(record.digest) if record else "",
    }
    if commission.discreet and kind in NEUTRAL:
        context["studio_name"] = settings.DISCREET_NAME
    for key in ("as_of", "packed_on"):
        context[key] = datetime.date.fromisoformat(data[key]) if data.get(key) else None
    if "care" in data:
        context["care"] = [(words, datetime.date.fromisoformat(day)) for words, day in data["care"]]
    if "pictures" in data:
        context["pictures"] = [
            {"src": f"file://{default_storage.path(name)}", "words": words}
            for name, words in data["pictures"]
            if default_storage.exists(name)
        ]
    with translation.override(language):
        return papers.make(template=f"print/{kind.replace('-', '_')}.html", context=context)


def make(*, kind: str, commission: Commission, language: str) -> papers.Paper:
    """
    A paper as it would be kept if the ring were handed over now.

    Raises:
        Http404: there is no such paper yet.
    """
    data = data_of(kind=kind, commission=commission) if kind in NAMES else None
    if data is None:
        raise Http404
    return draw(kind=kind, commission=commission, data=data, language=language)


def _pictures(commission: Commission) -> list[list[str]]:
    rows = [row for row in released_photos(commission=commission).exclude(shot="") if row.picture.is_ready]
    return [
        [row.picture.renditions["1000"]["jpeg"], ", ".join(filter(None, (str(row), row.scale)))]
        for row in rows[:PICTURES]
    ]


def shelf(*, commission: Commission) -> list[dict]:
    """
    The papers that a client was handed, the newest edition of each kind first and earlier ones after it.

    One query, however many there are.
    """
    rows = [row for row in queries.kept_papers(commission=commission) if row.kind in CLIENTS]
    newest = {row.kind: row.edition for row in rows}
    shown = [
        {
            "row": row,
            "name": name_of(kind=row.kind, commission=commission),
            "newest": newest[row.kind] == row.edition,
            "sealed": is_sealed(kind=row.kind, commission=commission),
        }
        for row in rows
    ]
    return sorted(shown, key=lambda item: (CLIENTS.index(item["row"].kind), -item["row"].edition))
