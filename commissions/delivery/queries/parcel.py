"""Reads of the parcel: address, photographs, limits, what is on its way."""

from __future__ import annotations

import datetime

from commissions.delivery.models import Address, CalendarKey, Confirmation, Limit, ParcelPhoto, Shipment
from commissions.delivery.queries.care import care_of
from commissions.record.models import Commission
from commissions.record.route import Stage, State
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
    return (
        Confirmation.objects.filter(commission=commission)
        .order_by("-id")
        .values_list("at", flat=True)
        .first()
    )


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


def piece_part(*, commission: Commission, person) -> dict | None:
    """What the page of one commission shows of its delivery and care, and of a small job from its beginning."""
    shown = commission.stage in (Stage.HANDOVER, Stage.CARE)
    if not shown and not commission.ring_id:
        return None
    care = [row for row in care_of(commission=commission) if not row.done_at][:3] if shown else []
    return {
        "template": "delivery/piece_part.html",
        "shown": shown,
        "ring": commission.ring,
        "shipment": shipment_of(commission=commission) if shown else None,
        "care": care,
    }


def calendar_key() -> CalendarKey | None:
    """The key of the calendar feed that is good now."""
    return CalendarKey.objects.filter(ended_at__isnull=True).order_by("-id").first()


def calendar_key_is_good(*, key: str) -> bool:
    """Whether *key* opens the calendar feed."""
    return CalendarKey.objects.filter(digest=hashed(key), ended_at__isnull=True).exists()
