"""
What a client says to something that was put before them at a hold point: approve, ask, or not yet.

A room asks by a question to the client whose key begins with ``approve:``. What it does once the answer is
there is its own affair: it reads the answered question.
"""

from __future__ import annotations

from django.db import transaction

from commissions.record.actions import answer_question, open_question, post_message
from commissions.record.errors import Overtaken
from commissions.record.models import Commission, Question
from commissions.record.route import Turn
from studio import clock
from studio.people.models import ClientAccess
from studio.trail.actions import record as write_trail

PREFIX = "approve:"
ANSWERS = ("approve", "ask", "not-yet")


@transaction.atomic
def reply(
    *, commission: Commission, question: Question, answer: str, words: str, access: ClientAccess
) -> None:
    """
    Take a client's answer to a question whose key begins with ``approve:``.

    Effects, in order: the question is closed, only if it still is open; words go into the thread as the
    client's message; for *ask* and *not-yet* a question to us is opened, which blocks the work until we have
    answered and asked anew; the turn is settled; the trail says so.

    Raises:
        Overtaken: the question was answered in the meantime.
    """
    by_words = f"{commission.client.full_name}: {answer}"
    if not answer_question(commission=commission, key=question.key, by_words=by_words):
        raise Overtaken
    if words:
        post_message(commission=commission, body=words, from_client=True)
    if answer != "approve":
        what = question.client_words or question.words
        open_question(
            commission=commission,
            key=f"answer-to:{question.key}"[:80],
            addressee=Turn.US,
            words=f"Answer the client, then ask anew: {what}"[:200],
            client_words="We will answer what you wrote, then ask you again",
            path=f"/studio/commissions/{commission.reference}/messages/",
            due_on=clock.add_working_days(clock.today(), 1),
        )
    write_trail(
        actor=f"client:{access.pk}",
        verb=f"answered {answer}",
        subject=commission.reference,
        facts={"question": question.key},
    )


def approval_asked(*, commission: Commission, pk: int) -> Question | None:
    """The open question with this key number, if it asks this commission's client for an approval."""
    return Question.objects.filter(
        commission=commission, pk=pk, answered_at__isnull=True, addressee=Turn.CLIENT, key__startswith=PREFIX
    ).first()
