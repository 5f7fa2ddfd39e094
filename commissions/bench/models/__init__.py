"""What happens at the bench: steps, photos, weights, time, stones, problems, and the acts a phone sends."""

from commissions.bench.models.acts import Act, ActKind
from commissions.bench.models.check import CheckAnswer, CheckSheet, Verdict
from commissions.bench.models.dates import DateAnswer, DateNotice, DateReply
from commissions.bench.models.facts import (
    Problem,
    StoneCount,
    StoneTally,
    TimeEdit,
    TimeEntry,
    Weighing,
    WeighingKind,
)
from commissions.bench.models.metal import (
    MetalLot,
    MetalMovement,
    MovementKind,
    RefinerLot,
    RefinerSettlement,
)
from commissions.bench.models.photos import Audience, Photo
from commissions.bench.models.steps import Step, StepState, StepTemplate, SupplierTask, TemplateLine
from commissions.bench.models.supplier import SupplierJob

__all__ = [
    "Act",
    "ActKind",
    "Audience",
    "CheckAnswer",
    "CheckSheet",
    "DateAnswer",
    "DateNotice",
    "DateReply",
    "MetalLot",
    "MetalMovement",
    "MovementKind",
    "Photo",
    "Problem",
    "RefinerLot",
    "RefinerSettlement",
    "Step",
    "StepState",
    "StepTemplate",
    "StoneCount",
    "StoneTally",
    "SupplierJob",
    "SupplierTask",
    "TemplateLine",
    "TimeEdit",
    "TimeEntry",
    "Verdict",
    "Weighing",
    "WeighingKind",
]
