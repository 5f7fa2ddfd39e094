"""Writes of the parcel: packed, and handed to the carrier."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.delivery import gate, papers
from commissions.delivery.actions.papers import keep_papers
from commissions.delivery.models import Shipment
from commissions.delivery.paths import client_path, studio_path
from commissions.record.actions import answer_questions, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def pack(
    *,
    commission: Commission,
    answers: dict[str, str],
    ring_mg: int,
    seal: str,
    insured_minor: int,
    person: Person,
) -> Shipment:
    """
    Keep what was checked at packing; refused while anything is *no*.

    Effects, in order: the gate is asked; the parcel is written; the trail says so.

    Args:
        ring_mg: the ring on the scale, mg.
        insured_minor: the insured value, minor units of the commission's currency.

    Raises:
        Refused: every check that is not met, in words.
    """
    if commission.stage != Stage.HANDOVER:
        raise Refused("Only a ring that has passed its checks is packed.")
    if Shipment.objects.filter(commission=commission).exists():
        raise Refused("This ring is packed already.")
    missing = gate.missing(
        commission=commission, answers=answers, ring_mg=ring_mg, seal=seal, insured_minor=insured_minor
    )
    if missing:
        raise Refused(*missing)
    shipment = Shipment.objects.create(
        commission=commission,
        answers=answers,
        ring_mg=ring_mg,
        seal=seal,
        insured_minor=insured_minor,
        packed_by=person,
        packed_at=clock.now(),
    )
    write_trail(actor=person, verb="packed", subject=commission.reference, facts={"seal": seal})
    return shipment


@transaction.atomic
def dispatch(
    *,
    shipment: Shipment,
    carrier: str,
    service: str,
    tracking: str,
    expected_on: datetime.date,
    person: Person,
) -> Shipment:
    """
    Hand the parcel to the carrier.

    Effects, in order: carrier and tracking are written only if it has not left yet; our question is
    answered; the carrier's turn is opened with the expected date; the papers that go with it are kept as they
    are now; the trail says so.

    Raises:
        Refused: it has left already, would arrive at a weekend or in the past, no terms of its carrier are
            kept, or it is worth more than they say.
    """
    if expected_on.weekday() >= 5:
        raise Refused("It would arrive at a weekend, when nobody signs: choose another day.")
    if expected_on < clock.today():
        raise Refused("The day it is expected on has passed.")
    missing = gate.carrier_missing(
        carrier=carrier, currency=shipment.commission.currency, insured_minor=shipment.insured_minor
    )
    if missing:
        raise Refused(*missing)
    changed = Shipment.objects.filter(pk=shipment.pk, dispatched_at__isnull=True).update(
        carrier=carrier,
        service=service,
        tracking=tracking,
        expected_on=expected_on,
        dispatched_at=clock.now(),
    )
    if changed != 1:
        raise Refused("This parcel has left already.")
    shipment.refresh_from_db()
    commission = shipment.commission
    answer_questions(commission=commission, prefix="delivery.", by_words=str(person))
    open_question(
        commission=commission,
        key="delivery.arrival",
        addressee=Turn.SUPPLIER,
        words=f"Arrives with {carrier}",
        client_words="It is on its way to you",
        path=studio_path(commission),
        client_path=client_path(commission, "delivery"),
        due_on=expected_on,
    )
    keep_papers(commission=commission, kinds=papers.NAMES, cause=f"parcel:{shipment.pk}")
    write_trail(actor=person, verb="dispatched", subject=commission.reference, facts={"carrier": carrier})
    return shipment
