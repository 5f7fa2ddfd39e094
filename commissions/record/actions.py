"""
Writes of the record.

``advance`` is the only writer of a stage. Every action that opens or answers a question also settles
the turn, in the same transaction.
"""

from __future__ import annotations

import datetime

from django.db import IntegrityError, transaction

from commissions.intake.models import Client
from commissions.record.errors import Missing, Overtaken, Refused
from commissions.record.models import NO_DATE, Commission, Hold, Message, PromiseChange, Question, StageMove
from commissions.record.route import DOORS, Stage, State, Turn
from commissions.record.turn import Standing, standing
from studio import clock
from studio.outbox.queue import nudge
from studio.people.models import Person
from studio.references import new_reference
from studio.trail.actions import record as write_trail


def settle_turn(*, commission: Commission) -> Standing:
    """
    Compute whose turn it is and keep the answer beside the commission.

    Effects, in order: the open questions and holds are read; the columns that lists sort by are set.
    """
    questions = list(Question.objects.filter(commission=commission, answered_at__isnull=True))
    holds = list(Hold.objects.filter(commission=commission, lifted_at__isnull=True))
    state = Commission.objects.values_list("state", flat=True).get(pk=commission.pk)
    now_stands = standing(state=state, questions=questions, holds=holds)
    columns = {
        "turn": now_stands.turn,
        "turn_rank": now_stands.rank,
        "next_act": now_stands.act,
        "next_due": now_stands.due,
        "next_path": now_stands.path,
        "waiting_since": now_stands.since,
    }
    Commission.objects.filter(pk=commission.pk).update(**columns)
    for name, value in columns.items():
        setattr(commission, name, value)
    return now_stands


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
    now = clock.now()
    commission = None
    while commission is None:
        try:
            with transaction.atomic():
                commission = Commission.objects.create(
                    reference=reference or new_reference(),
                    client=client,
                    title=title,
                    stage=Stage.DESIGN,
                    currency=currency,
                    needed_by=needed_by,
                    needed_sort=needed_by or NO_DATE,
                    discreet=discreet,
                    opened_at=now,
                )
        except IntegrityError:
            if reference:
                raise
    _write_move(
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


def _write_move(*, commission, frm, to, door, person, by_words, evidence) -> StageMove:
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
    if DOORS.get((frm, to)) != door:
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
    return _write_move(
        commission=commission,
        frm=frm,
        to=to,
        door=door,
        person=person,
        by_words=by_words or str(person),
        evidence=evidence or {},
    )


@transaction.atomic
def open_question(
    *,
    commission: Commission,
    key: str,
    addressee: str,
    words: str,
    client_words: str = "",
    path: str = "",
    client_path: str = "",
    due_on: datetime.date | None = None,
    blocking: bool = True,
) -> Question:
    """
    Ask somebody for something; a matter that is already open is renewed, not doubled.

    Effects, in order: the question is written (or its words and date renewed); the turn is settled.
    """
    columns = {
        "addressee": addressee,
        "words": words,
        "client_words": client_words,
        "path": path,
        "client_path": client_path,
        "due_on": due_on,
        "blocking": blocking,
    }
    now = clock.now()
    # Passed on to somebody else, a matter waits anew.
    Question.objects.filter(commission=commission, key=key, answered_at=None).exclude(
        addressee=addressee
    ).update(opened_at=now)
    question, _made = Question.objects.update_or_create(
        commission=commission,
        key=key,
        answered_at=None,
        defaults=columns,
        create_defaults={**columns, "opened_at": now},
    )
    settle_turn(commission=commission)
    return question


@transaction.atomic
def answer_question(*, commission: Commission, key: str, by_words: str) -> bool:
    """
    Close the open question about one matter; False where none was open.

    Effects, in order: the question is marked answered; the turn is settled.
    """
    changed = Question.objects.filter(commission=commission, key=key, answered_at__isnull=True).update(
        answered_at=clock.now(), answered_by=by_words
    )
    settle_turn(commission=commission)
    return changed == 1


@transaction.atomic
def answer_questions(*, commission: Commission, prefix: str, by_words: str) -> int:
    """
    Close every open question whose key begins with *prefix*; how many there were.

    Effects, in order: the questions are marked answered; the turn is settled.
    """
    changed = Question.objects.filter(
        commission=commission, key__startswith=prefix, answered_at__isnull=True
    ).update(answered_at=clock.now(), answered_by=by_words)
    settle_turn(commission=commission)
    return changed


@transaction.atomic
def place_hold(*, commission: Commission, reason: str, person: Person, client_reason: str = "") -> Hold:
    """
    Pause a commission.

    Effects, in order: the hold is written; the turn is settled; the trail says so.
    """
    if commission.state != State.OPEN:
        raise Refused("This commission is closed.")
    hold = Hold.objects.create(
        commission=commission,
        reason=reason,
        client_reason=client_reason,
        since=clock.now(),
        placed_by=str(person),
    )
    settle_turn(commission=commission)
    write_trail(actor=person, verb="placed on hold", subject=commission.reference, facts={"reason": reason})
    return hold


@transaction.atomic
def lift_holds(*, commission: Commission, by_words: str) -> int:
    """
    End every pause of a commission; how many there were.

    Effects, in order: the holds are marked lifted; the turn is settled; the trail says so.
    """
    lifted = Hold.objects.filter(commission=commission, lifted_at__isnull=True).update(
        lifted_at=clock.now(), lifted_by=by_words
    )
    settle_turn(commission=commission)
    if lifted:
        write_trail(actor=by_words, verb="lifted the hold", subject=commission.reference)
    return lifted


@transaction.atomic
def post_message(
    *, commission: Commission, body: str, from_client: bool, person: Person | None = None
) -> Message:
    """
    Add a message to the thread.

    Effects, in order: the message is written; a client's message opens a question to us, ours answers it;
    the turn is settled; the sweep is nudged.
    """
    message = Message.objects.create(
        commission=commission, body=body, from_client=from_client, person=person, at=clock.now()
    )
    if from_client:
        open_question(
            commission=commission,
            key="message",
            addressee=Turn.US,
            words="Answer the client's message",
            client_words="We will answer your message",
            path=f"/studio/commissions/{commission.reference}/messages/",
            due_on=clock.add_working_days(clock.today(), 1),
            blocking=False,
        )
    else:
        answer_question(commission=commission, key="message", by_words=str(person))
    nudge()
    return message


@transaction.atomic
def promise(*, commission: Commission, on: datetime.date, reason: str, by_words: str) -> PromiseChange:
    """
    Promise a date, or change the promise.

    Effects, in order: the change is written with the date before it; the commission carries the new date;
    the trail says so.
    """
    change = PromiseChange.objects.create(
        commission=commission,
        before=commission.promised_on,
        after=on,
        reason=reason,
        by_words=by_words,
        at=clock.now(),
    )
    Commission.objects.filter(pk=commission.pk).update(promised_on=on)
    commission.promised_on = on
    write_trail(
        actor=by_words,
        verb="promised",
        subject=commission.reference,
        facts={"before": str(change.before or ""), "after": str(on), "reason": reason},
    )
    return change


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
