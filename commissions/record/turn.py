"""Whose turn is it? Computed from the open questions and holds, and from nothing else."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from commissions.record.models import NO_DATE, Hold, Question
from commissions.record.route import State, Turn

RANKS = {Turn.US: 0, Turn.SUPPLIER: 1, Turn.CLIENT: 2, Turn.HOLD: 3}


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Whose turn it is, the next act in words, its date, and where it is done."""

    turn: str
    act: str
    due: datetime.date | None
    path: str
    since: datetime.datetime | None

    @property
    def rank(self) -> int:
        """Place in a list: ours first, then what others owe us."""
        return RANKS[Turn(self.turn)]


def _order(question: Question) -> tuple:
    # What blocks comes before what merely waits; then the earliest date; then the oldest.
    return (not question.blocking, question.due_on or NO_DATE, question.opened_at, question.pk)


def in_order(questions: Sequence[Question]) -> list[Question]:
    """The *questions* in the order in which they decide: the first one is the next act."""
    return sorted(questions, key=_order)


def standing(*, state: str, questions: Sequence[Question], holds: Sequence[Hold]) -> Standing:
    """
    Where a commission stands, from its open *questions* and unlifted *holds*.

    A hold lies over everything. Otherwise the first question in order decides.
    A commission with no open question is ours: somebody has to say what happens next.
    """
    if state != State.OPEN:
        return Standing(turn=Turn.US, act="", due=None, path="", since=None)
    open_questions = in_order(questions)
    first = open_questions[0] if open_questions else None
    if holds:
        hold = min(holds, key=lambda row: (row.since, row.pk))
        return Standing(
            turn=Turn.HOLD,
            act=hold.reason,
            due=first.due_on if first else None,
            path=first.path if first else "",
            since=hold.since,
        )
    if first is None:
        return Standing(turn=Turn.US, act="Say what happens next", due=None, path="", since=None)
    return Standing(
        turn=first.addressee, act=first.words, due=first.due_on, path=first.path, since=first.opened_at
    )
