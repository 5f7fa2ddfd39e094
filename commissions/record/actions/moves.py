"""Moves along the route: opening, advancing, ending. ``advance`` is the only writer of a stage."""

from __future__ import annotations

import datetime

from django.db import IntegrityError, transaction

from commissions.intake.models import Client
from commissions.record.actions.questions import open_question, settle_turn
from commissions.record.errors import Missing, Overtaken, Refused
from commissions.record.models import NO_DATE, Commission, Hold, Question, StageMove
from commissions.record.route import DOORS, Stage, State, Turn
from studio import clock
from studio.outbox.queue import nudge
from studio.people.models import Person
from studio.references import new_reference
from studio.trail.actions import record as write_trail


@transaction.atomic
def open_commission(
    *,
    client: Client,
    title: str,
    currency: str,
    person: Person,
    needed_by: datetime.date | None = None,
    discreet: bool = False,
    reference: str | None = None,
    evidence: dict | None = None,
) -> Commission:
    """
    Open a commission at *Design*.

    Effects, in order: the commission is written with a new reference (or the brief's own); the move
    from nothing to Design is written; the question "send the first design" is opened to us; the trail says so.
    """
    commission = create(
        reference=reference,
        client=client,
        title=title,
        stage=Stage.DESIGN,
        currency=currency,
        needed_by=needed_by,
        needed_sort=needed_by or NO_DATE,
        discreet=discreet,
    )
    write_move(
        commission=commission,
        frm="",
        to=Stage.DESIGN,
        door="record.open_commission",
        person=person,
        by_words=str(person),
        evidence=evidence or {},
    )
    open_question(
        commission=commission,
        key="design.send",
        addressee=Turn.US,
        words="Send the first design",
        client_words="We are drawing your ring",
        path=f"/studio/commissions/{commission.reference}/design/",
        due_on=clock.add_working_days(clock.today(), 10),
    )
    return commission


def create(*, reference: str | None, **columns) -> Commission:
    """
    Write a commission under *reference*, or under a new one that nobody has. Part of an opening, never alone.

    Effects: the row is written.
    """
    while True:
        try:
            with transaction.atomic():
                return Commission.objects.create(
                    reference=reference or new_reference(), opened_at=clock.now(), **columns
                )
        except IntegrityError:
            if reference:
                raise


def write_move(*, commission, frm, to, door, person, by_words, evidence) -> StageMove:
    """
    Write one move. Part of an opening and of ``advance``, never called alone.

    Effects, in order: the move is written; the trail says so; the sweep is nudged.
    """
    move = StageMove.objects.create(
        commission=commission,
        frm=frm,
        to=to,
        door=door,
        person=person,
        by_words=by_words,
        at=clock.now(),
        evidence=evidence,
    )
    write_trail(
        actor=by_words,
        verb="moved",
        subject=commission.reference,
        facts={"from": frm, "to": to, "door": door},
    )
    nudge()
    return move


@transaction.atomic
def advance(
    *,
    commission: Commission,
    to: str,
    door: str,
    person: Person | None = None,
    by_words: str = "",
    evidence: dict | None = None,
) -> StageMove:
    """
    Move a commission along the route: the only writer of a stage.

    Effects, in order: the table of moves is asked; the stage is changed only if it still is what the
    caller saw; one StageMove is written; the trail says so; the sweep is nudged, which drafts the letter.
    The caller is the door: it has checked its evidence, and answers or opens the questions.

    Raises:
        Refused: the table knows no such move, it belongs to another door, or a hold lies on the commission.
        Overtaken: somebody has moved the commission in the meantime.
    """
    frm = commission.stage
    if DOORS.get((frm, to)) != door or to not in commission.route:
        raise Refused(f"{Stage(frm).label} does not lead to {Stage(to).label} this way.")
    hold = Hold.objects.filter(commission=commission, lifted_at__isnull=True).first()
    if hold:
        raise Refused(
            Missing(
                words=f"On hold: {hold.reason}. Lift the hold first.",
                path=f"/studio/commissions/{commission.reference}/",
            )
        )
    changed = Commission.objects.filter(pk=commission.pk, stage=frm, state=State.OPEN).update(stage=to)
    if changed != 1:
        raise Overtaken
    commission.stage = to
    return write_move(
        commission=commission,
        frm=frm,
        to=to,
        door=door,
        person=person,
        by_words=by_words or str(person),
        evidence=evidence or {},
    )


@transaction.atomic
def withdraw(*, commission: Commission, reason: str, person: Person) -> None:
    """
    End a commission that will not be made; what is owed is computed from the ledger, never written here.

    Effects, in order: the state changes only if it still is open; open questions are closed; holds are
    lifted; the trail says so.

    Raises:
        Overtaken: it was already closed.
    """
    _close(commission=commission, state=State.WITHDRAWN, by_words=str(person))
    write_trail(actor=person, verb="withdrawn", subject=commission.reference, facts={"reason": reason})


@transaction.atomic
def complete(*, commission: Commission, by_words: str) -> None:
    """
    End a commission whose ring is with its wearer and whose last care date has passed.

    Effects, in order: the state changes only if it still is open and in Care; open questions are closed;
    holds are lifted; the trail says so.

    Raises:
        Refused: it is not in Care.
        Overtaken: it was already closed.
    """
    if commission.stage != Stage.CARE:
        raise Refused("Only a ring that has arrived can be completed.")
    _close(commission=commission, state=State.COMPLETED, by_words=by_words)
    write_trail(actor=by_words, verb="completed", subject=commission.reference)


def _close(*, commission: Commission, state: str, by_words: str) -> None:
    now = clock.now()
    changed = Commission.objects.filter(pk=commission.pk, state=State.OPEN).update(state=state, closed_at=now)
    if changed != 1:
        raise Overtaken
    commission.state = state
    Question.objects.filter(commission=commission, answered_at__isnull=True).update(
        answered_at=now, answered_by=by_words
    )
    Hold.objects.filter(commission=commission, lifted_at__isnull=True).update(
        lifted_at=now, lifted_by=by_words
    )
    settle_turn(commission=commission)
