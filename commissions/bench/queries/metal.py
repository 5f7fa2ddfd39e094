"""Reads of metal."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Case, F, IntegerField, Q, Sum, Value, When

from commissions.bench.models import MetalLot, MetalMovement, MovementKind
from commissions.record.models import Commission
from gemcalc.account import MetalAccount, reconcile

PLACES = ("stock", "job", "filings", "refiner")
"""Holders inside the account of a lot; what is in a piece has left it."""


def _sum(**when):
    return Sum(Case(When(**when, then=F("mg")), default=Value(0), output_field=IntegerField()), default=0)


def metal_balance(*, lot: MetalLot, holder: str, commission: Commission | None = None) -> int:
    """What a holder has of a lot, mg; of one job where named."""
    rows = MetalMovement.objects.filter(lot=lot)
    if commission is not None:
        rows = rows.filter(commission=commission)
    sums = rows.aggregate(into=_sum(to=holder), out=_sum(frm=holder))
    return sums["into"] - sums["out"]


def metal_lots():
    """Every lot with what each holder has of it, mg, in one query."""
    sums = {}
    for place in PLACES:
        sums[place] = Sum(
            Case(
                When(movements__to=place, then=F("movements__mg")),
                When(movements__frm=place, then=-F("movements__mg")),
                default=Value(0),
                output_field=IntegerField(),
            ),
            default=0,
        )
    return MetalLot.objects.select_related("client").annotate(**sums)


def metal_of_job(*, commission: Commission):
    """Movements of one job, oldest first."""
    return (
        MetalMovement.objects.filter(commission=commission)
        .select_related("lot", "person", "reverses", "reversed_by")
        .order_by("id")
    )


def lots_issued(*, commission: Commission) -> list[MetalLot]:
    """Lots weighed out to a job and not taken back by a reversal."""
    rows = MetalMovement.objects.filter(
        commission=commission, kind=MovementKind.ISSUE, reverses__isnull=True, reversed_by__isnull=True
    )
    return list(MetalLot.objects.filter(pk__in=rows.values("lot")))


def alloys_issued(*, commission: Commission) -> list[str]:
    """Names of the alloys weighed out to a job and not taken back by a reversal."""
    return sorted({lot.alloy for lot in lots_issued(commission=commission)})


@dataclass(frozen=True, kw_only=True)
class JobMetal:
    """The metal account of one alloy on one job."""

    alloy: str
    account: MetalAccount
    closed: bool


def job_accounts(*, commission: Commission) -> list[JobMetal]:
    """Issued, returned, in the mount, filings and loss, for each alloy of a job."""
    signs = {
        kind: (Q(kind=kind) & Q(reverses__isnull=True), Q(kind=kind) & Q(reverses__isnull=False))
        for kind in (MovementKind.ISSUE, MovementKind.RETURN, MovementKind.FILINGS, MovementKind.PIECE)
    }
    sums = {
        kind.name.lower(): Sum(
            Case(
                When(there, then=F("mg")),
                When(back, then=-F("mg")),
                default=Value(0),
                output_field=IntegerField(),
            ),
            default=0,
        )
        for kind, (there, back) in signs.items()
    }
    rows = (
        MetalMovement.objects.filter(commission=commission)
        .values("lot__alloy")
        .annotate(**sums)
        .order_by("lot__alloy")
    )
    return [
        JobMetal(
            alloy=row["lot__alloy"],
            account=reconcile(
                issued_mg=row["issue"],
                clean_returns_mg=row["return"],
                mount_mg=row["piece"],
                filings_mg=row["filings"],
            ),
            closed=row["piece"] > 0,
        )
        for row in rows
        if row["issue"] > 0
    ]
