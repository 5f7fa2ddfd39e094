"""Reads of steps and of the jobs on the bench."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.utils import timezone
from django.utils.formats import date_format

from commissions.bench.models import Step, StepState, StepTemplate
from commissions.record.holdpoints import Standing, waiting_after
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


@dataclass(frozen=True, kw_only=True)
class Held:
    """A job that waits at a hold point: which, and since when the client has been asked (None: not yet asked)."""

    point: Standing
    since: datetime.datetime | None

    @property
    def words(self) -> str:
        """Why nothing goes on, for the phone."""
        if self.since is None and self.point.word is None:
            return f"The client wants to see {self.point.what} first: release a photograph of it"
        if self.since is None:
            return f"The client has not said go on {self.point.what}: answer, then ask anew"
        since = date_format(timezone.localtime(self.since), "D j M, H:i")
        return f"Waiting for the client’s word on {self.point.what} since {since}"


def held_at(*, commission: Commission, step: Step) -> Held | None:
    """
    The hold point before *step* at which the client has not said go; None where none is in the way.

    While a job waits there its commission stays at the stage whose work is to be looked at.
    """
    if step.stage == commission.stage:
        return None
    point = waiting_after(commission=commission, stage=commission.stage)
    if point is None or not _was_done(commission):
        return None
    return Held(point=point, since=point.question and point.question.opened_at)


def _was_done(commission: Commission) -> bool:
    """Whether anything of the present stage was made; where all of it was left out there is nothing to look at."""
    return Step.objects.filter(commission=commission, stage=commission.stage, state=StepState.DONE).exists()
