"""
Hold points: where a client has chosen that the work waits for their word.

A point comes after one stage of the bench. Once its stage is done the client is asked; nothing after it
begins until they have said *go*, on their page or to one of us.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db import transaction
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.record.actions import answer_question, open_question
from commissions.record.approving import PREFIX
from commissions.record.errors import Refused
from commissions.record.models import ClientWord, Commission, HoldPoint, HoldPointChoice, Question
from commissions.record.route import ROUTE, Stage, State, Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

AFTER: dict[str, str] = {
    HoldPoint.MODEL: Stage.MODEL,
    HoldPoint.CASTING: Stage.CASTING,
    HoldPoint.STONES_SET: Stage.SETTING,
}
"""The stage after which each point comes."""

MEANINGS = {
    HoldPoint.MODEL: _("Model: you see the model in wax or resin before it becomes metal"),
    HoldPoint.CASTING: _("Casting: you see the raw metal before it is cleaned and built up"),
    HoldPoint.STONES_SET: _("Stones set: you see every stone in its place before the last polish"),
}
ASKED = {
    HoldPoint.MODEL: ("the model", "Look at the model and tell us whether to go on"),
    HoldPoint.CASTING: ("the casting", "Look at the casting and tell us whether to go on"),
    HoldPoint.STONES_SET: ("the set stones", "Look at the set stones and tell us whether to go on"),
}
ANSWER_DAYS = 3


@dataclass(frozen=True, kw_only=True)
class Standing:
    """How one hold point stands: chosen or not, asked since when, and the last word that was given."""

    point: str
    choice: HoldPointChoice | None
    question: Question | None
    word: ClientWord | None

    @property
    def wanted(self) -> bool:
        """Whether the client has chosen to be asked."""
        return self.choice is not None and self.choice.wanted

    @property
    def go(self) -> bool:
        """Whether the last word given is *go*."""
        return self.word is not None and self.word.answer == "approve"

    @property
    def name(self) -> str:
        """The point in a word or two."""
        return str(HoldPoint(self.point).label)

    @property
    def meaning(self) -> str:
        """The point in the client's words."""
        return str(MEANINGS[HoldPoint(self.point)])

    @property
    def what(self) -> str:
        """What the client looks at, as the studio says it."""
        return ASKED[HoldPoint(self.point)][0]

    @property
    def stage(self) -> str:
        """The stage it comes after."""
        return AFTER[self.point]


def key_of(point: str) -> str:
    """The matter of a point among the questions."""
    return f"{PREFIX}hold-{point}"


def point_of(question: Question) -> str | None:
    """The hold point a question is about, if it is about one."""
    point = question.key.removeprefix(f"{PREFIX}hold-")
    return point if question.key.startswith(PREFIX) and point in AFTER else None


def standings(*, commission: Commission) -> list[Standing]:
    """How every hold point stands, in the order of the work: three queries."""
    choices = {row.point: row for row in HoldPointChoice.objects.filter(commission=commission)}
    words = {
        row.key: row
        for row in ClientWord.objects.filter(commission=commission, key__startswith=PREFIX).order_by("id")
    }
    asked = {
        row.key: row
        for row in Question.objects.filter(
            commission=commission, key__startswith=PREFIX, answered_at__isnull=True
        )
    }
    return [
        Standing(
            point=point,
            choice=choices.get(point),
            question=asked.get(key_of(point)),
            word=words.get(key_of(point)),
        )
        for point in HoldPoint.values
    ]


def waiting_after(*, commission: Commission, stage: str) -> Standing | None:
    """The chosen point after *stage* at which the client has not said go yet."""
    for row in standings(commission=commission):
        if row.stage == stage and row.wanted and not row.go:
            return row
    return None


def changeable(*, commission: Commission, rows: list[Standing]) -> list[str]:
    """The points of *rows* that the client may still choose or give up."""
    return [
        row.point
        for row in rows
        if row.question is None
        and row.word is None
        and commission.state == State.OPEN
        and ROUTE.index(commission.stage) <= ROUTE.index(row.stage)
    ]


@transaction.atomic
def choose(
    *,
    commission: Commission,
    points: Iterable[str],
    by_words: str,
    access: ClientAccess | None = None,
    person: Person | None = None,
) -> None:
    """
    Choose where the work waits for the client's word; a point left out of *points* is given up.

    Effects, in order: a row is written for every point that differs from what stood; the trail says so.

    Raises:
        Refused: a point that would change is passed already, or is just being waited at.
    """
    wanted = set(points)
    Commission.objects.select_for_update().get(pk=commission.pk)
    rows = standings(commission=commission)
    free = changeable(commission=commission, rows=rows)
    changed = [row for row in rows if row.wanted != (row.point in wanted)]
    for row in changed:
        if row.question is not None:
            raise Refused(_now("We are waiting for your word at this point: give it, or tell us not yet."))
        if row.point not in free:
            raise Refused(_now("%(point)s: this part of the work is done already.") % {"point": row.name})
    now = clock.now()
    for row in changed:
        HoldPointChoice.objects.create(
            commission=commission,
            point=row.point,
            wanted=row.point in wanted,
            access=access,
            person=person,
            by_words=by_words,
            at=now,
        )
    if changed:
        write_trail(
            actor=person or by_words,
            verb="chose hold points",
            subject=commission.reference,
            facts={"points": sorted(wanted)},
        )


def ask_at(*, commission: Commission, point: str) -> Question:
    """
    Put what was made before the client, and wait.

    Effects, in order: what we still had to answer there is closed; the question to the client is opened with
    its date; the turn is settled.
    """
    what, client_words = ASKED[HoldPoint(point)]
    key = key_of(point)
    answer_question(commission=commission, key=f"answer-to:{key}"[:80], by_words="asked anew")
    return open_question(
        commission=commission,
        key=key,
        addressee=Turn.CLIENT,
        words=f"The client's word on {what}",
        client_words=client_words,
        path=f"/studio/commissions/{commission.reference}/hold-points/",
        client_path=f"/yours/{commission.reference}/",
        due_on=clock.add_working_days(clock.today(), ANSWER_DAYS),
    )
