"""Reads of the delivery room."""

from __future__ import annotations

import datetime

from commissions.delivery.models import (
    Address,
    CalendarKey,
    CareDate,
    Limit,
    ParcelPhoto,
    RingRecord,
    Shipment,
)
from commissions.delivery.ring import DIGEST_LETTERS
from commissions.delivery.wording import problems
from commissions.money.queries import accepted_quote
from commissions.record.models import Commission
from commissions.record.route import Stage, State
from commissions.sourcing.queries import chosen
from studio import clock
from studio.people.queries import hashed

WINDOW_DAYS_AFTER = 14


def shipment_of(*, commission: Commission) -> Shipment | None:
    """The newest parcel of a commission."""
    return Shipment.objects.filter(commission=commission).order_by("-id").first()


def window_open(*, commission: Commission) -> bool:
    """
    Whether handover people may read the address: while the ring is about to leave or on its way, and a
    fortnight after it has arrived.
    """
    if commission.stage in (Stage.CHECKING, Stage.HANDOVER):
        return True
    shipment = shipment_of(commission=commission)
    if commission.stage != Stage.CARE or shipment is None or shipment.arrived_at is None:
        return False
    return clock.now() - shipment.arrived_at < datetime.timedelta(days=WINDOW_DAYS_AFTER)


def address_for(*, commission: Commission, person) -> Address | None:
    """The address for a person who hands parcels over, inside the window alone; None otherwise."""
    if person.role not in ("owner", "jeweller") or not window_open(commission=commission):
        return None
    return Address.objects.filter(commission=commission, gone_at__isnull=True).first()


def address_confirmed_at(*, commission: Commission):
    """When the client last confirmed the address: the time alone, never the words."""
    return Address.objects.filter(commission=commission).values_list("confirmed_at", flat=True).first()


def shots_taken(*, commission: Commission) -> dict[str, ParcelPhoto]:
    """The newest photograph of each shot of the parcel."""
    rows = ParcelPhoto.objects.filter(commission=commission).select_related("picture")
    return {row.shot: row for row in rows}


def parcel_photo(*, commission: Commission, pk: int) -> ParcelPhoto | None:
    """One photograph of this parcel, and of no other."""
    return ParcelPhoto.objects.filter(commission=commission, pk=pk).select_related("picture").first()


def limit_for(*, carrier: str, currency: str) -> Limit | None:
    """The newest limit of a carrier, or of the insurer's policy where *carrier* is empty."""
    return Limit.objects.filter(carrier__iexact=carrier.strip(), currency=currency).order_by("-id").first()


def limits() -> list[Limit]:
    """The newest limit of every carrier and of the policy, in each currency."""
    newest: dict[tuple[str, str], Limit] = {}
    for row in Limit.objects.order_by("-id")[:500]:
        newest.setdefault((row.carrier.lower(), row.currency), row)
    return [newest[key] for key in sorted(newest)]


def dispatching() -> list[dict]:
    """Rings that are about to leave or on their way, in the order in which they are needed."""
    rows = (
        Commission.objects.filter(state=State.OPEN, stage=Stage.HANDOVER)
        .select_related("client")
        .prefetch_related("shipments")
        .order_by("needed_sort", "id")
    )
    return [
        {"commission": row, "shipment": max(row.shipments.all(), key=lambda s: s.pk, default=None)}
        for row in rows
    ]


def care_due(*, days: int = 14):
    """Dates of care of the coming days, and those that have passed undone."""
    return (
        CareDate.objects.filter(
            done_at__isnull=True, due_on__lte=clock.today() + datetime.timedelta(days=days)
        )
        .select_related("commission__client")
        .order_by("due_on", "id")[:50]
    )


def care_of(*, commission: Commission):
    """Every date of care of a ring."""
    return CareDate.objects.filter(commission=commission).order_by("due_on")


def piece_part(*, commission: Commission, person) -> dict | None:
    """What the page of one commission shows of its delivery and care."""
    if commission.stage not in (Stage.HANDOVER, Stage.CARE):
        return None
    return {
        "template": "delivery/piece_part.html",
        "shipment": shipment_of(commission=commission),
        "care": list(care_of(commission=commission)[:3]),
    }


def ring_record(*, commission: Commission) -> RingRecord | None:
    """The newest record of a ring."""
    return RingRecord.objects.filter(commission=commission).order_by("-id").first()


def ring_record_by_fingerprint(*, typed: str) -> RingRecord | None:
    """
    The record with this fingerprint, for whoever holds its paper; None while the ring is a surprise.

    The short form of the paper and the whole digest are both taken; two records under one short form give none.
    """
    letters = "".join(typed.split()).replace("-", "").lower()
    if len(letters) not in (DIGEST_LETTERS, 64) or not all(c in "0123456789abcdef" for c in letters):
        return None
    found = list(
        RingRecord.objects.filter(digest__startswith=letters, commission__discreet=False).select_related(
            "commission"
        )[:2]
    )
    return found[0] if len(found) == 1 else None


def wording_problems(*, commission: Commission) -> list[str]:
    """What is wrong with how the centre stone is named in the title, on the stone and in the accepted price."""
    stone = chosen(commission=commission)
    if stone is None:
        return []
    quote = accepted_quote(commission=commission)
    texts = [commission.title, stone.name]
    texts += list(quote.lines.filter(kind="centre").values_list("words", flat=True)) if quote else []
    grown = stone.origin == "laboratory-grown"
    rows = [row for text in texts for row in problems(text=text, laboratory_grown=grown)]
    return list(dict.fromkeys(rows))


def calendar_key() -> CalendarKey | None:
    """The key of the calendar feed that is good now."""
    return CalendarKey.objects.filter(ended_at__isnull=True).order_by("-id").first()


def calendar_key_is_good(*, key: str) -> bool:
    """Whether *key* opens the calendar feed."""
    return CalendarKey.objects.filter(digest=hashed(key), ended_at__isnull=True).exists()
