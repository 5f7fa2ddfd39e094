"""Reads of steps and of the jobs on the bench."""

from __future__ import annotations

from commissions.bench.models import Step, StepState, StepTemplate
from commissions.record.models import Commission, Hold
from commissions.record.queries import active_hold
from commissions.record.route import BENCH, Stage, State
from studio.people.models import Person, Role

SETTER_STAGES = [Stage.SETTING, Stage.FINISHING, Stage.CHECKING]
"""Stages in which a setter has a ring in their hands."""


def templates(*, active: bool = True):
    """The templates of steps with their lines."""
    found = StepTemplate.objects.prefetch_related("lines")
    return found.filter(is_active=True) if active else found


def steps(*, commission: Commission):
    """The steps of a job in their order."""
    return Step.objects.filter(commission=commission).select_related("started_by", "finished_by")


def current_step(*, commission: Commission) -> Step | None:
    """The step that is open, or the first that still waits."""
    return (
        Step.objects.filter(commission=commission, state__in=[StepState.OPEN, StepState.WAITING])
        .order_by("position")
        .first()
    )


def next_step(*, commission: Commission, after: Step) -> Step | None:
    """The step that comes after another one."""
    return (
        Step.objects.filter(commission=commission, position__gt=after.position, state=StepState.WAITING)
        .order_by("position")
        .first()
    )


def _jobs(person: Person):
    stages = SETTER_STAGES if person.role == Role.SETTER else BENCH
    return Commission.objects.filter(state=State.OPEN, stage__in=stages)


def job_for(*, reference: str, person: Person) -> Commission | None:
    """The job with this reference where *person* may have it in hand; no client is fetched with it."""
    return _jobs(person).filter(reference=reference).first()


def jobs_for(*, person: Person) -> list[tuple[Commission, Step | None]]:
    """Jobs on the bench with their current step, ours first and the most urgent first."""
    jobs = list(_jobs(person).order_by("turn_rank", "next_due", "needed_sort", "id")[:100])
    current: dict[int, Step] = {}
    waiting = Step.objects.filter(
        commission__in=jobs, state__in=[StepState.OPEN, StepState.WAITING]
    ).order_by("position")
    for step in waiting:
        current.setdefault(step.commission_id, step)
    return [(job, current.get(job.pk)) for job in jobs]


def hold_on(*, commission: Commission) -> Hold | None:
    """The hold that lies on a job, if any."""
    return active_hold(commission=commission)
