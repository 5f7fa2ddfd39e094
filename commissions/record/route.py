"""
The route of a commission: its stages, and the table of moves.

Nothing outside this table moves a commission, and each move has exactly one door: the one action
that owns its evidence. Going back is a move of its own, never an exception to another.
"""

from __future__ import annotations

from dataclasses import dataclass

from django.db import models
from django.utils.translation import gettext_lazy as _


class Stage(models.TextChoices):
    """Where a commission stands."""

    BRIEF = "brief", _("Brief")
    DESIGN = "design", _("Design")
    STONES = "stones", _("Stones")
    AGREEMENT = "agreement", _("Agreement")
    MODEL = "model", _("Model")
    CASTING = "casting", _("Casting")
    MOUNTING = "mounting", _("Mounting")
    SETTING = "setting", _("Setting")
    FINISHING = "finishing", _("Finishing")
    MARKING = "marking", _("Marking")
    CHECKING = "checking", _("Checking")
    HANDOVER = "handover", _("Handover")
    CARE = "care", _("Care")


class State(models.TextChoices):
    """Whether a commission goes on."""

    OPEN = "open", _("Open")
    COMPLETED = "completed", _("Completed")
    WITHDRAWN = "withdrawn", _("Withdrawn")


class Turn(models.TextChoices):
    """Whose turn it is; always computed from the open questions (see record.turn)."""

    US = "us", _("With us")
    CLIENT = "client", _("With you")
    SUPPLIER = "supplier", _("With a supplier")
    HOLD = "hold", _("On hold")


ROUTE = list(Stage.values)
SMALL_ROUTE = [
    Stage.AGREEMENT,
    Stage.MOUNTING,
    Stage.SETTING,
    Stage.FINISHING,
    Stage.MARKING,
    Stage.CHECKING,
    Stage.HANDOVER,
    Stage.CARE,
]
"""A resize or a repair of a ring that was made before: the same doors, the part of the route that it needs."""
BENCH = [
    Stage.MODEL,
    Stage.CASTING,
    Stage.MOUNTING,
    Stage.SETTING,
    Stage.FINISHING,
    Stage.MARKING,
    Stage.CHECKING,
]


@dataclass(frozen=True, kw_only=True)
class Move:
    """One allowed move and the only door through which it happens."""

    frm: str
    to: str
    door: str


def _bench_moves() -> list[Move]:
    # A job's steps come from an editable template, so a bench stage may be left out (a hand-made
    # mount has no casting); the order of the bench itself is never turned round.
    return [
        Move(frm=a, to=b, door="bench.finish_step")
        for place, a in enumerate(BENCH)
        for b in BENCH[place + 1 :]
    ]


MOVES: list[Move] = [
    Move(frm="", to=Stage.DESIGN, door="record.open_commission"),
    Move(frm="", to=Stage.AGREEMENT, door="record.open_small_job"),
    Move(frm=Stage.DESIGN, to=Stage.STONES, door="design.agree_direction"),
    Move(frm=Stage.STONES, to=Stage.AGREEMENT, door="money.send_quote"),
    Move(frm=Stage.AGREEMENT, to=Stage.DESIGN, door="design.start_revision"),
    *[Move(frm=Stage.AGREEMENT, to=stage, door="money.start_work") for stage in BENCH],
    *_bench_moves(),
    Move(frm=Stage.CHECKING, to=Stage.HANDOVER, door="bench.pass_check"),
    Move(frm=Stage.HANDOVER, to=Stage.CARE, door="delivery.confirm_arrival"),
]

DOORS = {(move.frm, move.to): move.door for move in MOVES}
