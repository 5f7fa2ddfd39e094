"""Writes of the money room."""

from __future__ import annotations

from commissions.record.actions import advance
from commissions.record.models import Commission, StageMove
from studio.people.models import Person


def start_work(*, commission: Commission, to: str, person: Person, override_reason: str = "") -> StageMove:
    """
    Let the bench begin.

    Effects: the commission moves from Agreement to the bench stage *to*.
    """
    evidence = {"override": override_reason} if override_reason else {}
    return advance(commission=commission, to=to, door="money.start_work", person=person, evidence=evidence)
