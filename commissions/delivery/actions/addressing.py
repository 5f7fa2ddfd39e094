"""Writes of the address."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.delivery.models import Address, Confirmation, Shipment
from commissions.delivery.paths import client_path, studio_path
from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.trail.actions import record as write_trail

KEPT_DAYS = 90
"""How long an address is kept after the ring arrived, days; common practice, no source."""


@transaction.atomic
def confirm_address(
    *, commission: Commission, addressee: str, lines: str, country: str, by_words: str
) -> Address:
    """
    Keep the address that the client has confirmed; it counts for seven days.

    Effects, in order: the address is written or renewed with the time; that it was confirmed is kept as a row of
    its own; the client's question is answered; the trail says that it was confirmed, and not what it is.

    Raises:
        Refused: the ring is not about to leave.
    """
    if commission.stage not in (Stage.CHECKING, Stage.HANDOVER):
        raise Refused("The address is asked for when the ring is about to leave, and not before.")
    address, _made = Address.objects.update_or_create(
        commission=commission,
        defaults={
            "addressee": addressee,
            "lines": lines,
            "country": country,
            "confirmed_at": clock.now(),
            "gone_at": None,
        },
    )
    Confirmation.objects.create(commission=commission, by_words=by_words, at=clock.now())
    answer_question(commission=commission, key="delivery.address", by_words=by_words)
    write_trail(actor=by_words, verb="confirmed the address", subject=commission.reference)
    return address


@transaction.atomic
def ask_for_address(*, commission: Commission) -> None:
    """
    Ask the client to confirm where the ring goes.

    Effects: the client's question is opened.
    """
    open_question(
        commission=commission,
        key="delivery.address",
        addressee=Turn.CLIENT,
        words="Confirm the address",
        client_words="Confirm the address it goes to",
        path=studio_path(commission),
        client_path=client_path(commission, "delivery"),
        due_on=clock.add_working_days(clock.today(), 3),
    )


@transaction.atomic
def purge_addresses() -> int:
    """
    Remove the words of addresses whose ring arrived ninety days ago; how many went.

    Effects, in order, for each: the words are emptied and the time is kept, only if they still stood; the
    trail says that they went.
    """
    before = clock.now() - datetime.timedelta(days=KEPT_DAYS)
    arrived = Shipment.objects.filter(arrived_at__lte=before).values("commission")
    newer = Shipment.objects.filter(arrived_at__gt=before).values("commission")
    due = Address.objects.filter(gone_at__isnull=True, commission__in=arrived).exclude(commission__in=newer)
    gone = 0
    for address in due.select_related("commission")[:200]:
        changed = Address.objects.filter(pk=address.pk, gone_at__isnull=True).update(
            addressee="", lines="", country="", gone_at=clock.now()
        )
        if changed == 1:
            gone += 1
            write_trail(
                actor="the studio's clock", verb="removed the address", subject=address.commission.reference
            )
    return gone
