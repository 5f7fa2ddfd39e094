"""Planning: the day on which the current step should be done."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.bench import queries
from commissions.bench.models import Step, StepState
from commissions.record.actions import settle_turn
from commissions.record.errors import Overtaken
from commissions.record.models import Question
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def plan_step(*, step: Step, due_on: datetime.date, person: Person) -> Step:
    """
    Give a step that is not over another day.

    Effects, in order: the day is written only if the step still waits or is open; where the step is the one
    that is asked for, its question carries the new day and the turn is settled; the trail says so.

    Raises:
        Overtaken: the step is over.
    """
    changed = Step.objects.filter(pk=step.pk, state__in=[StepState.WAITING, StepState.OPEN]).update(
        due_on=due_on
    )
    if changed != 1:
        raise Overtaken
    step.refresh_from_db()
    if queries.current_step(commission=step.commission) == step:
        Question.objects.filter(
            commission=step.commission, key="bench.step", answered_at__isnull=True
        ).update(due_on=due_on)
    settle_turn(commission=step.commission)
    write_trail(
        actor=person,
        verb="planned a step",
        subject=step.commission.reference,
        facts={"step": step.name, "due": due_on.isoformat()},
    )
    return step
