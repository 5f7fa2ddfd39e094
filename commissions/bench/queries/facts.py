"""Reads of weights, counts, time and problems."""

from __future__ import annotations

from commissions.bench.models import Problem, StoneCount, TimeEntry, Weighing
from commissions.record.models import Commission
from studio.people.models import Person


def weighings(*, commission: Commission):
    """Weighings that stand: neither taken back nor taking back."""
    return Weighing.objects.filter(
        commission=commission, voids__isnull=True, voided_by__isnull=True
    ).select_related("person", "step")


def latest_weight(*, commission: Commission, kind: str) -> Weighing | None:
    """The last weighing of one kind that stands."""
    return weighings(commission=commission).filter(kind=kind).order_by("at", "id").last()


def latest_count(*, commission: Commission) -> StoneCount | None:
    """The last stone count that stands."""
    return (
        StoneCount.objects.filter(commission=commission, voids__isnull=True, voided_by__isnull=True)
        .select_related("person")
        .order_by("at", "id")
        .last()
    )


def open_problems(*, commission: Commission):
    """Problems without an answer, oldest first."""
    return Problem.objects.filter(commission=commission, solved_at__isnull=True).select_related(
        "person", "photo"
    )


def running_clock(*, person: Person) -> TimeEntry | None:
    """The spell that is running for a person, on whichever job."""
    return (
        TimeEntry.objects.filter(person=person, ended_at__isnull=True)
        .select_related("commission", "step")
        .first()
    )


def time_entries(*, commission: Commission, person: Person | None = None):
    """Spells of work on a job; of one person where named."""
    found = TimeEntry.objects.filter(commission=commission).select_related("person", "step")
    return found.filter(person=person) if person else found
