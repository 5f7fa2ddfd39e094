"""Rows of the stones' room."""

from commissions.sourcing.models.conditions import Bearer, Condition, ConditionAnswer, SameStone
from commissions.sourcing.models.melee import LotKind, LotMove, MeleeLot
from commissions.sourcing.models.plots import Look, PlotMark, Shot, StonePhoto, Turning
from commissions.sourcing.models.stones import CheckIn, Custody, Origin, Owner, Screening, Stone, StoneState

__all__ = [
    "Bearer",
    "CheckIn",
    "Condition",
    "ConditionAnswer",
    "Custody",
    "Look",
    "LotKind",
    "LotMove",
    "MeleeLot",
    "Origin",
    "Owner",
    "PlotMark",
    "SameStone",
    "Screening",
    "Shot",
    "Stone",
    "StonePhoto",
    "StoneState",
    "Turning",
]
