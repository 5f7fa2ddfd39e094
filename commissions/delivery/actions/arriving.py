"""Writes of the arrival: the door from Handover to Care."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.delivery.actions.caring import lay_care_dates
from commissions.delivery.actions.papers import keep_papers
from commissions.delivery.models import Shipment
from commissions.money.actions import recognise_at_handover
from commissions.record.actions import advance, answer_questions, post_message
from commissions.record.errors import Refused
from commissions.record.route import Stage
from studio import clock


@transaction.atomic
def confirm_arrival(
    *, shipment: Shipment, proof: str, by_words: str, on: datetime.date | None = None
) -> None:
    """
    The door from Handover to Care: the client has the ring.

    Effects, in order: the arrival is written once; the stage moves; what was held becomes a sale; the
    dates of care are laid; the first is asked of the client; the care plan is kept anew with its dates; the trail
    says so.

    Raises:
        Refused: it has not left, it has arrived already, or there is no proof.
    """
    if not proof.strip():
        raise Refused("Say what proves that it arrived: a signature, the carrier's entry, the client's word.")
    changed = Shipment.objects.filter(
        pk=shipment.pk, dispatched_at__isnull=False, arrived_at__isnull=True
    ).update(arrived_at=clock.now(), arrival_proof=proof)
    if changed != 1:
        raise Refused("This parcel has not left yet, or has arrived already.")
    shipment.refresh_from_db()
    commission = shipment.commission
    advance(
        commission=commission,
        to=Stage.CARE,
        door="delivery.confirm_arrival",
        by_words=by_words,
        evidence={"shipment": shipment.pk, "proof": proof},
    )
    recognise_at_handover(commission=commission, by_words=by_words)
    answer_questions(commission=commission, prefix="delivery.", by_words=by_words)
    lay_care_dates(commission=commission, start=on or clock.today())
    if not commission.ring_id:
        keep_papers(commission=commission, kinds=["care-plan"], cause=f"arrival:{shipment.pk}")


@transaction.atomic
def client_confirms_arrival(*, shipment: Shipment, words: str, name: str) -> None:
    """
    The client says that the ring is there, and whether all is well.

    Effects, in order: the arrival is confirmed at the client's word; anything that is not right becomes a
    message that waits for our answer.
    """
    confirm_arrival(shipment=shipment, proof=f"{name} confirmed it on their page", by_words=name)
    if words:
        post_message(commission=shipment.commission, body=words, from_client=True)
