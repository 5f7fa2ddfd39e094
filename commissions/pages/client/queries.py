"""Reads of the client's pages: where their ring stands, in their words."""

from __future__ import annotations

import datetime
from dataclasses import dataclass, field

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from commissions.record.models import Commission, Hold, Question, StageMove
from commissions.record.route import Stage, State, Turn
from commissions.record.turn import in_order, standing

AT_WORK = {
    Stage.BRIEF: gettext_lazy("We are reading your brief"),
    Stage.DESIGN: gettext_lazy("We are drawing your ring"),
    Stage.STONES: gettext_lazy("We are finding your stones"),
    Stage.AGREEMENT: gettext_lazy("We are putting drawing, price and date together"),
    Stage.MODEL: gettext_lazy("We are making the model"),
    Stage.CASTING: gettext_lazy("Your ring is being cast"),
    Stage.MOUNTING: gettext_lazy("We are building the mount"),
    Stage.SETTING: gettext_lazy("We are setting the stones"),
    Stage.FINISHING: gettext_lazy("We are polishing"),
    Stage.MARKING: gettext_lazy("Your ring is being marked"),
    Stage.CHECKING: gettext_lazy("We are checking every stone"),
    Stage.HANDOVER: gettext_lazy("We are preparing it to travel"),
    Stage.CARE: gettext_lazy("Your ring is with you"),
}

MEANINGS = {
    Stage.BRIEF: gettext_lazy("You told us what you wish for."),
    Stage.DESIGN: gettext_lazy("Drawn to scale until it is right."),
    Stage.STONES: gettext_lazy("Stones chosen, measured and checked in."),
    Stage.AGREEMENT: gettext_lazy("One drawing, one price, one date."),
    Stage.MODEL: gettext_lazy("A model in wax or resin, checked by the millimetre."),
    Stage.CASTING: gettext_lazy("The model becomes metal."),
    Stage.MOUNTING: gettext_lazy("The parts are cleaned, joined and brought to size."),
    Stage.SETTING: gettext_lazy("The halo first, then the centre."),
    Stage.FINISHING: gettext_lazy("Polish, and plating where the metal needs it."),
    Stage.MARKING: gettext_lazy("Fineness and maker struck or lasered inside."),
    Stage.CHECKING: gettext_lazy("Every claw, every stone, once more on a clean ring."),
    Stage.HANDOVER: gettext_lazy("Packed, insured and on its way."),
    Stage.CARE: gettext_lazy("Looked after, from the first check on."),
}


@dataclass(frozen=True, kw_only=True)
class ClientStanding:
    """Whose turn it is as the client reads it; ``asked`` is what waits for the client, the next act first."""

    turn: str
    turn_words: str
    words: str
    due: datetime.date | None
    asked: list[Question] = field(default_factory=list)


def client_standing(*, commission: Commission) -> ClientStanding:
    """Where a commission stands, in the client's words: two queries."""
    questions = list(
        Question.objects.filter(commission=commission, answered_at__isnull=True).select_related("commission")
    )
    holds = list(Hold.objects.filter(commission=commission, lifted_at__isnull=True))
    stands = standing(state=commission.state, questions=questions, holds=holds)
    ordered = in_order(questions)
    asked = [question for question in ordered if question.addressee == Turn.CLIENT]
    first = ordered[0] if ordered else None
    if commission.state != State.OPEN:
        words = _("It is finished.") if commission.state == State.COMPLETED else _("It was withdrawn.")
        return ClientStanding(turn="", turn_words=str(State(commission.state).label), words=words, due=None)
    if stands.turn == Turn.HOLD:
        hold = min(holds, key=lambda row: (row.since, row.pk))
        words = hold.client_reason or _("We have paused the work and will tell you why")
    else:
        words = (first.client_words if first else "") or str(AT_WORK[commission.stage])
    return ClientStanding(
        turn=stands.turn, turn_words=str(Turn(stands.turn).label), words=words, due=stands.due, asked=asked
    )


@dataclass(frozen=True, kw_only=True)
class StageRow:
    """One stage as the client reads it: ``done``, ``now`` or ``next``."""

    name: str
    meaning: str
    kind: str
    on: datetime.datetime | None


def stage_rows(*, commission: Commission) -> list[StageRow]:
    """The stages of this commission with the day each was reached last: one query."""
    reached = dict(StageMove.objects.filter(commission=commission).order_by("id").values_list("to", "at"))
    route = commission.route
    here, closed = route.index(commission.stage), commission.state == State.COMPLETED
    return [
        StageRow(
            name=str(Stage(stage).label),
            meaning=str(MEANINGS[stage]),
            kind="done" if place < here or closed else "now" if place == here else "next",
            on=reached.get(stage) if place <= here else None,
        )
        for place, stage in enumerate(route)
    ]
