"""Writes of stones that are set on the strength of a report."""

from __future__ import annotations

from django.db import transaction

from commissions.record.errors import Refused
from commissions.sourcing.models import Owner, Stone, ToReport
from commissions.sourcing.queries import newest_check_in
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def work_to_report(*, stone: Stone, reason: str, person: Person) -> ToReport:
    """
    Record the owner's choice to cast and set to a grading report, without measuring the loose stone ourselves.

    Effects, in order: the choice is added with the number it relies on; the trail says so. The ring record
    says that its measures are the report's.

    Raises:
        Refused: not by the owner, without a reason or a report, for a stone of ours, or one that was measured.
    """
    missing = []
    if not person.is_owner:
        missing.append("Only the owner may decide to work to a report.")
    if not reason.strip():
        missing.append("Say why the loose stone cannot be measured here.")
    if not stone.report_number:
        missing.append("This stone has no report to work to.")
    if stone.owner == Owner.US:
        missing.append("This stone is ours: check it in and measure it.")
    if newest_check_in(stone=stone) is not None:
        missing.append("This stone has been measured: our own measures count.")
    if missing:
        raise Refused(*missing)
    row = ToReport.objects.create(
        stone=stone, report=stone.report_number, reason=reason.strip(), person=person, at=clock.now()
    )
    write_trail(
        actor=person,
        verb="chose to work to the report",
        subject=stone.commission.reference if stone.commission else f"stone:{stone.pk}",
        facts={"report": stone.report_number, "reason": reason.strip()},
    )
    return row
