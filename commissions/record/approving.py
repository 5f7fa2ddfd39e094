"""
What a client says to something that was put before them at a hold point: approve, ask, or not yet.

A room asks by a question to the client whose key begins with ``approve:``. What it does once the answer is
there is its own affair: it reads the words that were kept.
"""

from __future__ import annotations

import datetime

from django.db import transaction
from django.utils import timezone

from commissions.record.actions import answer_question, open_question, post_message
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import ClientWord, Commission, Question
from commissions.record.route import Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

PREFIX = "approve:"
ANSWERS = ("approve", "ask", "not-yet")


@transaction.atomic
def reply(
    *, commission: Commission, question: Question, answer: str, words: str, access: ClientAccess
) -> None:
    """
    Take a client's answer to a question whose key begins with ``approve:``, given on their own page.

    Effects, in order: the question is closed, only if it still is open; the word is kept; words go into the
    thread as the client's message; for *ask* and *not-yet* a question to us is opened, which blocks the work
    until we have answered and asked anew; the turn is settled; the trail says so.

    Raises:
        Overtaken: the question was answered in the meantime.
    """
    _close(commission, question, answer, by_words=commission.client.full_name)
    ClientWord.objects.create(
        commission=commission,
        key=question.key,
        answer=answer,
        words=words,
        way=ClientWord.Way.PAGE,
        said_on=clock.today(),
        access=access,
        by_words=commission.client.full_name,
        at=clock.now(),
    )
    if words:
        post_message(commission=commission, body=words, from_client=True)
    _go_on(commission, question, answer, actor=f"client:{access.pk}", facts={})


@transaction.atomic
def write_down(
    *,
    commission: Commission,
    question: Question,
    answer: str,
    words: str,
    way: str,
    said_by: str,
    said_on: datetime.date,
    person: Person,
) -> None:
    """
    Keep a word that the client gave to one of us, by telephone or in person.

    Effects, in order: the question is closed, only if it still is open; the word is kept with who said it,
    when, how, and who wrote it down; for *ask* and *not-yet* a question to us is opened; the turn is settled;
    the trail says so.

    Raises:
        Refused: the day lies ahead, or before the client was asked.
        Overtaken: the question was answered in the meantime.
    """
    if said_on > clock.today():
        raise Refused("That day is still to come.")
    if said_on < timezone.localdate(question.opened_at):
        raise Refused("The client was asked later than that: a word from before cannot answer it.")
    _close(commission, question, answer, by_words=f"{said_by}, told to {person}")
    ClientWord.objects.create(
        commission=commission,
        key=question.key,
        answer=answer,
        words=words,
        way=way,
        said_on=said_on,
        person=person,
        by_words=said_by,
        at=clock.now(),
    )
    _go_on(commission, question, answer, actor=person, facts={"said_by": said_by, "way": way})


def _close(commission: Commission, question: Question, answer: str, *, by_words: str) -> None:
    closed = f"{by_words}: {answer}"[:160]
    if not answer_question(commission=commission, key=question.key, by_words=closed):
        raise Overtaken


def _go_on(commission: Commission, question: Question, answer: str, *, actor: object, facts: dict) -> None:
    if answer != "approve":
        what = question.client_words or question.words
        open_question(
            commission=commission,
            key=f"answer-to:{question.key}"[:80],
            addressee=Turn.US,
            words=f"Answer the client, then ask anew: {what}"[:200],
            client_words="We will answer what you wrote, then ask you again",
            path=f"/studio/commissions/{commission.reference}/hold-points/"
            if question.key.startswith(f"{PREFIX}hold-")
            else f"/studio/commissions/{commission.reference}/messages/",
            due_on=clock.add_working_days(clock.today(), 1),
        )
    write_trail(
        actor=actor,
        verb=f"answered {answer}",
        subject=commission.reference,
        facts={"question": question.key, **facts},
    )


def approval_asked(*, commission: Commission, pk: int) -> Question | None:
    """The open question with this key number, if it asks this commission's client for an approval."""
    return Question.objects.filter(
        commission=commission, pk=pk, answered_at__isnull=True, addressee=Turn.CLIENT, key__startswith=PREFIX
    ).first()
