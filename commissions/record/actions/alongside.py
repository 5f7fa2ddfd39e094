"""What lies alongside the route: holds, messages, the promised date."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.record.actions.questions import answer_question, open_question, settle_turn
from commissions.record.errors import Refused
from commissions.record.models import Commission, Hold, Message, PromiseChange
from commissions.record.route import State, Turn
from studio import clock
from studio.outbox.queue import nudge
from studio.people.models import Person
from studio.trail.actions import record as write_trail


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


def mark_seen(*, commission: Commission, from_client: bool) -> int:
    """
    Note that the messages of one side have been opened by the other; how many were new.

    Effects: the time is written once on every message that had none.
    """
    return Message.objects.filter(
        commission=commission, from_client=from_client, seen_at__isnull=True
    ).update(seen_at=clock.now())


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
