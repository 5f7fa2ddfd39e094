"""Questions: what somebody has to do or answer, and whose turn follows from them."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.record.models import Commission, Hold, Question
from commissions.record.turn import Standing, standing
from studio import clock


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
def let_wait(*, commission: Commission, prefix: str, behind: bool) -> int:
    """
    Let every open question whose key begins with *prefix* wait behind what blocks, or block again.

    Effects, in order: the questions are marked; the turn is settled. How many were changed.
    """
    changed = (
        Question.objects.filter(commission=commission, key__startswith=prefix, answered_at__isnull=True)
        .exclude(blocking=not behind)
        .update(blocking=not behind)
    )
    settle_turn(commission=commission)
    return changed
