"""Metal and work in the hands of somebody who leaves, and the links they gave out."""

from __future__ import annotations

from django.db.models import Q

from commissions.bench.models import MetalMovement, MovementKind, Step, StepState, SupplierJob, TimeEntry
from commissions.bench.queries.metal import _sum
from studio import clock
from studio.people.leaving import Holding
from studio.people.models import Person


def held_by_person(*, person: Person) -> list[Holding]:
    """Metal that they weighed out to a job which is not closed, and steps they have begun: three queries."""
    return [*_metal(person), *_steps(person)]


def _metal(person: Person) -> list[Holding]:
    closed = MetalMovement.objects.filter(kind=MovementKind.PIECE, reversed_by__isnull=True).values(
        "commission"
    )
    rows = (
        MetalMovement.objects.filter(commission__isnull=False)
        .exclude(commission__in=closed)
        .values("lot", "lot__name", "commission", "commission__reference")
        .annotate(mg_in=_sum(to="job"), mg_out=_sum(frm="job"))
        .order_by("lot", "commission")
    )
    last = {
        (lot, commission): who
        for lot, commission, who in MetalMovement.objects.filter(
            kind=MovementKind.ISSUE, reverses__isnull=True, reversed_by__isnull=True
        )
        .order_by("id")
        .values_list("lot", "commission", "person")
    }
    found = []
    for row in rows:
        mg = row["mg_in"] - row["mg_out"]
        if mg > 0 and last.get((row["lot"], row["commission"])) == person.pk:
            found.append(
                Holding(
                    words=f"{mg / 1000:.3f} g of {row['lot__name']} for {row['commission__reference']}",
                    path=f"/studio/commissions/{row['commission__reference']}/metal/",
                    key=f"metal:{row['lot']}:{row['commission']}:{mg}",
                )
            )
    return found


def _steps(person: Person) -> list[Holding]:
    rows = Step.objects.filter(state=StepState.OPEN, started_by=person).select_related("commission")
    return [
        Holding(
            words=f"The step {step.name} of {step.commission.reference}, begun and not finished",
            path=f"/studio/bench/{step.commission.reference}/",
            key=f"step:{step.pk}",
        )
        for step in rows.order_by("id")
    ]


def end_ways(*, person: Person, by: Person) -> list[str]:
    """
    End the links to suppliers of jobs that they sent out, and stop their running clock; what ended, in words.

    Effects, in order: every such link that is still good ends; a spell that runs ends now.
    """
    now = clock.now()
    links = SupplierJob.objects.filter(~Q(link_hash=""), sent_by=person, link_until__gt=now)
    ended = links.update(link_hash="", link_until=now)
    stopped = TimeEntry.objects.filter(person=person, ended_at__isnull=True).update(ended_at=now)
    words = []
    if ended:
        words.append(f"{ended} link{'s' if ended > 1 else ''} to suppliers")
    if stopped:
        words.append("their running clock")
    return words
