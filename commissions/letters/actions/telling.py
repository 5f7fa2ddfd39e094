"""Letters that nobody has to look at: they only say that something waits on the client's page."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.bench.queries import notice_of
from commissions.letters import queries
from commissions.letters.actions.drafting import SAME_ACT, untold
from commissions.letters.models import Draft, Kind, State
from commissions.record.models import Message, Question
from studio import clock
from studio.outbox.writing import write

TOGETHER = datetime.timedelta(minutes=10)
"""What happens within this time goes into one letter."""


@transaction.atomic
def draft_question(*, question: Question) -> Draft | None:
    """
    Tell the client that it is their turn; nobody has to look at this letter.

    Effects, in order: while somebody has yet to look at the draft about the step that asked, nothing
    happens; where its letter was sent, or a letter has just said the same, the event is closed; otherwise
    the letter is put into the outbox. A question about a new date has a letter of its own, which names both
    dates and the reason (in a surprise it stays as neutral as any).
    """
    commission = question.commission
    reason = untold(at=question.opened_at, commission=commission)
    if not reason and question.answered_at:
        reason = "It was answered before a letter was needed."
    step = None if reason else queries.draft_of_same_act(question=question, within=SAME_ACT)
    if step is not None and step.open:
        return None
    if step is not None and step.state == State.SENT:
        reason = "The letter about the step tells of it."
    notice = notice_of(question=question)
    kind = Kind.DATE if notice else Kind.QUESTION
    if not reason and queries.told_lately(commission=commission, kind=kind, within=TOGETHER):
        reason = "A letter of the same minutes tells of it."
    context = {"due_on": question.due_on}
    if notice:
        context |= {"before": notice.before, "after": notice.after, "reason": notice.reason}
    return _direct(
        kind=kind,
        event={"question": question},
        cause=f"question:{question.pk}",
        commission=commission,
        at=question.opened_at,
        reason=reason,
        context=context,
    )


@transaction.atomic
def draft_message(*, message: Message) -> Draft:
    """
    Tell the client that a message waits; nobody has to look at this letter.

    Effects, in order: where the client has read it already, or a letter has just said the same, the event is
    closed; otherwise the letter is put into the outbox.
    """
    commission = message.commission
    reason = untold(at=message.at, commission=commission)
    if not reason and message.seen_at:
        reason = "The client has read it already."
    if not reason and queries.told_lately(commission=commission, kind=Kind.MESSAGE, within=TOGETHER):
        reason = "A letter of the same minutes tells of it."
    return _direct(
        kind=Kind.MESSAGE,
        event={"message": message},
        cause=f"message:{message.pk}",
        commission=commission,
        at=message.at,
        reason=reason,
        context={"person": str(message.person or "")},
    )


def _direct(*, kind, event, cause, commission, at, reason, context) -> Draft:
    now = clock.now()
    draft, made = Draft.objects.get_or_create(
        cause=cause,
        defaults={
            **event,
            "commission": commission,
            "kind": kind,
            "subject": kind.label,
            "happened_at": at,
            "created_at": now,
            "decided_at": now,
            "decided_by": "the sweep",
            "reason": reason,
            "state": State.OVERTAKEN if reason else State.SENT,
        },
    )
    if made and not reason:
        access = commission.client.access
        letter = write(
            name=kind.value,
            to=access.email,
            context=context,
            dedupe_key=cause,
            subject_ref=commission.reference,
            discreet=commission.discreet,
            language=access.language,
            zone=access.zone,
        )
        Draft.objects.filter(pk=draft.pk).update(letter=letter, subject=letter.subject[:120])
    return draft
