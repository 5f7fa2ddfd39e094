"""Writes of steps: laying them, starting, finishing; the only way along the bench."""

from __future__ import annotations

from django.db import transaction

from commissions.bench import gates, queries
from commissions.bench.actions.holding import ask_the_client, catch_up, follow
from commissions.bench.actions.stones import book_stones
from commissions.bench.capacity import MINUTES_A_DAY
from commissions.bench.models import Step, StepState, StepTemplate
from commissions.money.actions import event_happened, start_work
from commissions.record import actions as record
from commissions.record.errors import Missing, Overtaken, Refused
from commissions.record.models import Commission
from commissions.record.route import BENCH, Stage, Turn
from commissions.sourcing.actions import issue_chosen, set_chosen
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

QUESTION = "bench.step"
CLIENT_WORDS = {
    Stage.MODEL: "We are making the model of your ring",
    Stage.CASTING: "Your ring is being cast",
    Stage.MOUNTING: "We are making the mount",
    Stage.SETTING: "We are setting the stones",
    Stage.FINISHING: "We are finishing your ring",
    Stage.MARKING: "Your ring is being marked",
    Stage.CHECKING: "We are checking your ring",
}


@transaction.atomic
def lay_steps(*, commission: Commission, template: StepTemplate) -> list[Step]:
    """
    Lay the steps of a job from a template.

    Effects: the steps are written, all waiting, with dates that follow from the planned minutes.

    Raises:
        Refused: the job has its steps already, or the template is empty.
    """
    if Step.objects.filter(commission=commission).exists():
        raise Refused("The steps of this job are laid already.")
    lines = list(template.lines.all())
    if not lines:
        raise Refused(f"The template {template.name} has no step.")
    minutes, rows = 0, []
    for place, line in enumerate(lines, start=1):
        minutes += line.planned_minutes
        rows.append(
            Step(
                commission=commission,
                position=place,
                stage=line.stage,
                name=line.name,
                words=line.words,
                supplier_task=line.supplier_task,
                planned_minutes=line.planned_minutes,
                cautions=line.cautions,
                due_on=clock.add_working_days(clock.today(), 1 + minutes // MINUTES_A_DAY),
            )
        )
    Step.objects.bulk_create(rows)
    return list(queries.steps(commission=commission))


@transaction.atomic
def begin(
    *, commission: Commission, template: StepTemplate, person: Person, override_reason: str = ""
) -> list[Step]:
    """
    Begin the work on an agreed ring.

    Effects, in order: the steps are laid; the commission moves from Agreement to the stage of the first
    one through the door of the money room, which checks approval and first instalment; the first step
    is put as a question.

    Raises:
        Refused: as lay_steps and start_work, or what the first stage asks for.
    """
    steps = lay_steps(commission=commission, template=template)
    missing = gates.to_start(commission=commission, stage=steps[0].stage)
    if missing:
        raise Refused(*missing)
    start_work(commission=commission, to=steps[0].stage, person=person, override_reason=override_reason)
    _ask_for(commission=commission, step=steps[0])
    return steps


def _ask_for(*, commission: Commission, step: Step) -> None:
    # A step outside the house is ours until it is sent, and ours again once it is back; in between the
    # supplier's own question stands (see suppliers.send_out).
    words = step.name
    path = f"/studio/bench/{commission.reference}/"
    if step.supplier_task and not queries.was_sent(step=step):
        words = f"Send it to the {step.get_supplier_task_display().lower()}: {step.name}"
        path = f"/studio/commissions/{commission.reference}/suppliers/"
    record.open_question(
        commission=commission,
        key=QUESTION,
        addressee=Turn.US,
        words=words,
        client_words=CLIENT_WORDS[step.stage],
        path=path,
        due_on=step.due_on,
        # While the client looks at what was made, the next step waits behind their word.
        blocking=step.stage == commission.stage,
    )


def ask_for_current(*, commission: Commission) -> None:
    """
    Ask for the current step again, after the work rested.

    Effects: its question is opened, unless its work is with a supplier, whose question stands.
    """
    step = queries.current_step(commission=commission)
    if step and not any(row.returned_at is None for row in queries.jobs_of_step(step=step)):
        _ask_for(commission=commission, step=step)


def _must_be_on_the_bench(commission: Commission) -> None:
    if commission.stage not in BENCH:
        raise Refused(
            Missing(
                words=f"This ring is not on the bench: it stands at {Stage(commission.stage).label}.",
                path=f"/studio/commissions/{commission.reference}/",
            )
        )


def _no_hold(commission: Commission) -> list[Missing]:
    hold = queries.hold_on(commission=commission)
    if hold is None:
        return []
    path = f"/studio/commissions/{commission.reference}/"
    return [Missing(words=f"On hold: {hold.reason}. Lift the hold first.", path=path)]


@transaction.atomic
def start_step(*, commission: Commission, step: Step, person: Person, at=None) -> Step:
    """
    Start the current step.

    Effects, in order: the commission moves on where the client's word was waited for before this step; the
    step is claimed only if it still waits and no other is open; at Setting the chosen stone goes from the safe
    to whoever starts; the trail says so.

    Raises:
        Refused: the ring is on hold or not on the bench, the client has not said go at a hold point, or what
            was agreed has changed since.
        Overtaken: somebody has started or finished it.
    """
    _must_be_on_the_bench(commission)
    missing = [
        *_no_hold(commission),
        *gates.client_goes_on(commission=commission),
        *gates.agreement_stands(commission=commission),
        *gates.to_set_on(commission=commission, step=step),
    ]
    if missing:
        raise Refused(*missing)
    current = queries.current_step(commission=commission)
    if current is None or current.pk != step.pk:
        raise Overtaken
    catch_up(commission=commission, step=step, person=person)
    changed = Step.objects.filter(pk=step.pk, state=StepState.WAITING).update(
        state=StepState.OPEN, started_at=at or clock.now(), started_by=person
    )
    if changed != 1:
        raise Overtaken
    if step.stage == Stage.SETTING:
        issue_chosen(commission=commission, person=person)
    write_trail(actor=person, verb="started", subject=commission.reference, facts={"step": step.name})
    return Step.objects.get(pk=step.pk)


@transaction.atomic
def finish_step(*, commission: Commission, step: Step, person: Person, at=None) -> Step | None:
    """
    Call the current step done; the step that comes next, or None after the last.

    Effects, in order: the step's gate is asked; the step is closed only if it still is the current one;
    the commission moves on where the next step belongs to another stage; the next step is put as a
    question (to us, or to a supplier); the trail says so.

    Raises:
        Refused: with everything that is missing.
        Overtaken: somebody has finished it.
    """
    _must_be_on_the_bench(commission)
    current = queries.current_step(commission=commission)
    if current is None or current.pk != step.pk:
        raise Overtaken
    following = queries.next_step(commission=commission, after=step)
    missing = [*_no_hold(commission), *gates.to_finish(commission=commission, step=step)]
    if following is None:
        missing.append(
            Missing(
                words="This is the last step: the ring leaves the bench when its check sheet is passed.",
                path=f"/studio/bench/{commission.reference}/check/",
            )
        )
    if missing:
        raise Refused(*missing)
    catch_up(commission=commission, step=step, person=person)
    close_step(step=step, person=person, at=at)
    write_trail(actor=person, verb="finished", subject=commission.reference, facts={"step": step.name})
    _go_on(commission=commission, step=step, following=following, person=person)
    return following


def _go_on(*, commission: Commission, step: Step, following: Step, person: Person) -> None:
    if following.stage != step.stage:
        if BENCH.index(following.stage) > BENCH.index(Stage.SETTING):
            book_stones(commission=commission, person=person)
        if step.stage == Stage.SETTING:
            set_chosen(commission=commission, person=person)
            event_happened(commission=commission, event="stones-set")
        if queries.held_at(commission=commission, step=following) is None:
            follow(commission=commission, step=step, to=following.stage, person=person)
    record.answer_question(commission=commission, key=QUESTION, by_words=str(person))
    _ask_for(commission=commission, step=following)
    ask_the_client(commission=commission)


def close_step(*, step: Step, person: Person, at=None) -> None:
    """
    Mark a step done, if it is not over yet. Part of finish_step and of pass_check, never called alone.

    Effects: state, start (where nobody had pressed it) and end are written by one conditional update.

    Raises:
        Overtaken: it is over already.
    """
    now = at or clock.now()
    changed = Step.objects.filter(pk=step.pk, state__in=[StepState.WAITING, StepState.OPEN]).update(
        state=StepState.DONE,
        started_at=step.started_at or now,
        started_by=step.started_by or person,
        finished_at=now,
        finished_by=person,
    )
    if changed != 1:
        raise Overtaken


@transaction.atomic
def leave_out_step(*, commission: Commission, step: Step, reason: str, person: Person) -> None:
    """
    Leave out a step that this job does not need.

    Effects, in order: the step is closed with its reason; the commission moves on where the next step
    belongs to another stage, past the same gate as a finished one; the next step is put as a question.

    Raises:
        Refused: no reason, the last step, or what the next stage's gate says.
        Overtaken: somebody has finished it.
    """
    _must_be_on_the_bench(commission)
    if not reason.strip():
        raise Refused("Say why this step is left out.")
    following = queries.next_step(commission=commission, after=step)
    if following is None:
        raise Refused("The last step cannot be left out.")
    is_current = queries.current_step(commission=commission) == step
    if is_current:
        missing = [*_no_hold(commission), *gates.to_finish(commission=commission, step=step)]
        if missing:
            raise Refused(*missing)
        catch_up(commission=commission, step=step, person=person)
    changed = Step.objects.filter(pk=step.pk, state__in=[StepState.WAITING, StepState.OPEN]).update(
        state=StepState.SKIPPED, skip_reason=reason, finished_at=clock.now(), finished_by=person
    )
    if changed != 1:
        raise Overtaken
    write_trail(
        actor=person,
        verb="left out",
        subject=commission.reference,
        facts={"step": step.name, "reason": reason},
    )
    if is_current:
        _go_on(commission=commission, step=step, following=following, person=person)


@transaction.atomic
def reopen_step(*, commission: Commission, step: Step, person: Person) -> Step:
    """
    Take back *step done*, as long as nothing has come after it and the stage is the same.

    Effects, in order: the step is open again; it is put as the question again; the trail says so.

    Raises:
        Refused: the ring has moved to another stage, its stones are booked, or the next step is begun.
    """
    if step.stage != commission.stage:
        raise Refused("The ring has moved to the next stage: a move along the route is not taken back.")
    following = queries.next_step(commission=commission, after=step)
    if step.stage == Stage.SETTING and following and following.stage != Stage.SETTING:
        raise Refused("The stones are booked in the drawer: the last step of setting is not taken back.")
    if Step.objects.filter(commission=commission, state=StepState.OPEN).exists():
        raise Refused("The next step is begun.")
    changed = Step.objects.filter(pk=step.pk, state=StepState.DONE).update(
        state=StepState.OPEN, finished_at=None, finished_by=None
    )
    if changed != 1:
        raise Overtaken
    step = Step.objects.get(pk=step.pk)
    for prefix in ("approve:hold-", "hold-show:"):
        record.answer_questions(commission=commission, prefix=prefix, by_words=f"taken back by {person}")
    _ask_for(commission=commission, step=step)
    write_trail(actor=person, verb="reopened", subject=commission.reference, facts={"step": step.name})
    return step
