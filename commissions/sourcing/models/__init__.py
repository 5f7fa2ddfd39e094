"""Rows of the stones' room."""

from commissions.sourcing.models.conditions import (
    Bearer,
    Condition,
    ConditionAnswer,
    ConditionPaper,
    PaperKind,
    SameStone,
)
from commissions.sourcing.models.melee import LotKind, LotMove, MeleeLot
from commissions.sourcing.models.plots import Look, PlotMark, Shot, StonePhoto, Turning
from commissions.sourcing.models.reports import ToReport
from commissions.sourcing.models.stones import (
    ApprovalEvent,
    ApprovalKind,
    CheckIn,
    Custody,
    Origin,
    Owner,
    Risk,
    Screening,
    Stone,
    StoneState,
)

__all__ = [
    "ApprovalEvent",
    "ApprovalKind",
    "Bearer",
    "CheckIn",
    "Condition",
    "ConditionAnswer",
    "ConditionPaper",
    "Custody",
    "Look",
    "LotKind",
    "LotMove",
    "MeleeLot",
    "Origin",
    "Owner",
    "PaperKind",
    "PlotMark",
    "Risk",
    "SameStone",
    "Screening",
    "Shot",
    "Stone",
    "StonePhoto",
    "StoneState",
    "ToReport",
    "Turning",
]
