"""Writes of the ring record."""

from __future__ import annotations

from django.db import transaction

from commissions.delivery import papers, ring
from commissions.delivery.actions.papers import keep_papers
from commissions.delivery.models import RingRecord, Shipment
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Stage
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def make_ring_record(*, commission: Commission, person: Person) -> RingRecord:
    """
    Keep what is so of a finished ring under its fingerprint; the same facts are kept once.

    Effects, in order: the record is added (a small job's to its ring); where the parcel has left already, the
    papers that quote it are kept anew; the trail names its fingerprint.

    Raises:
        Refused: the ring has not passed its checks, or was never weighed.
    """
    if commission.stage not in (Stage.HANDOVER, Stage.CARE):
        raise Refused("Only a ring that has passed its checks has a record.")
    facts = ring.facts_of(commission=commission)
    if facts["ring_mg"] is None:
        raise Refused(Missing(words="The finished ring has not been weighed."))
    row, made = RingRecord.objects.get_or_create(
        digest=ring.digest(facts),
        defaults={
            "commission": commission.ring or commission,
            "facts": facts,
            "made_by": str(person),
            "at": clock.now(),
        },
    )
    if made:
        if Shipment.objects.filter(commission=commission, dispatched_at__isnull=False).exists():
            keep_papers(commission=commission, kinds=papers.OF_THE_RECORD, cause=f"record:{row.pk}")
        write_trail(
            actor=person,
            verb="made the ring record",
            subject=commission.reference,
            facts={"fingerprint": ring.short(row.digest)},
        )
    return row
