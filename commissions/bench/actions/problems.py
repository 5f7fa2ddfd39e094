"""Writes of problems: what stops the work, and how it was solved."""

from __future__ import annotations

from django.db import transaction

from commissions.bench.models import Photo, Problem, Step
from commissions.record import actions as record
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def report_problem(
    *,
    commission: Commission,
    step: Step | None,
    words: str,
    person: Person,
    photo: Photo | None = None,
    at=None,
) -> Problem:
    """
    Say that something stops the work.

    Effects, in order: the problem is written; it is put to us as a question that comes before the step;
    the trail says so.
    """
    now = clock.now()
    problem = Problem.objects.create(
        commission=commission,
        step=step,
        words=words,
        photo=photo,
        person=person,
        at=at or now,
        noted_at=now,
    )
    record.open_question(
        commission=commission,
        key=f"bench.problem:{problem.pk}",
        addressee=Turn.US,
        words=f"Problem: {words}"[:200],
        client_words="We are looking into something before we go on",
        path=f"/studio/bench/{commission.reference}/problem/{problem.pk}/",
        due_on=clock.today(),
    )
    write_trail(
        actor=person, verb="reported a problem", subject=commission.reference, facts={"problem": problem.pk}
    )
    return problem


@transaction.atomic
def answer_problem(*, problem: Problem, answer: str, person: Person) -> None:
    """
    Say how a problem was solved.

    Effects, in order: the answer is written only if there was none; its question is closed; the trail says so.

    Raises:
        Refused: no words.
        Overtaken: it was answered already.
    """
    if not answer.strip():
        raise Refused("Say how it was solved.")
    changed = Problem.objects.filter(pk=problem.pk, solved_at__isnull=True).update(
        answer=answer, solved_at=clock.now(), solved_by=person
    )
    if changed != 1:
        raise Overtaken
    record.answer_question(
        commission=problem.commission, key=f"bench.problem:{problem.pk}", by_words=str(person)
    )
    write_trail(
        actor=person,
        verb="solved a problem",
        subject=problem.commission.reference,
        facts={"problem": problem.pk},
    )
