"""Reads of metal."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Case, F, IntegerField, Min, Q, Sum, Value, When

from commissions.bench.models import (
    MetalLot,
    MetalMovement,
    MovementKind,
    Weighing,
    WeighingKind,
)
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
        .select_related("lot", "person", "holder", "reverses", "reversed_by")
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
    given_up_mg: int


def job_accounts(*, commission: Commission) -> list[JobMetal]:
    """Issued, returned, in the mount, filings and loss, for each alloy of a job."""
    signs = {
        kind: (Q(kind=kind) & Q(reverses__isnull=True), Q(kind=kind) & Q(reverses__isnull=False))
        for kind in (
            MovementKind.ISSUE,
            MovementKind.RETURN,
            MovementKind.FILINGS,
            MovementKind.PIECE,
            MovementKind.LOSS,
        )
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
            given_up_mg=row["loss"],
        )
        for row in rows
        if row["issue"] > 0
    ]


@dataclass(frozen=True, kw_only=True)
class OnJob:
    """Metal of one alloy that lies at one job, and who took it."""

    reference: str
    alloy: str
    mg: int
    holders: list[str]
    since: datetime.datetime


def on_jobs() -> list[OnJob]:
    """Every job at which metal still lies, by job and alloy, the oldest first: two queries."""
    rows = (
        MetalMovement.objects.filter(Q(to="job") | Q(frm="job"))
        .order_by()
        .values("commission__reference", "lot__alloy")
        .annotate(mg=_sum(to="job") - _sum(frm="job"), since=Min("at"))
        .filter(mg__gt=0)
        .order_by("since", "commission__reference")
    )
    took: dict[tuple, set[str]] = defaultdict(set)
    issues = MetalMovement.objects.filter(
        kind=MovementKind.ISSUE, reverses__isnull=True, holder__isnull=False
    )
    for reference, alloy, name in issues.values_list(
        "commission__reference", "lot__alloy", "holder__full_name"
    ):
        took[reference, alloy].add(name)
    return [
        OnJob(
            reference=row["commission__reference"],
            alloy=row["lot__alloy"],
            mg=row["mg"],
            holders=sorted(took[row["commission__reference"], row["lot__alloy"]]),
            since=row["since"],
        )
        for row in rows
    ]


def by_alloy() -> list[dict]:
    """What each holder has of each alloy, ours and clients' apart, with the fine grams of it: one query."""
    rows: dict[tuple, dict] = {}
    for lot in metal_lots().order_by("alloy"):
        row = rows.setdefault(
            (lot.alloy, bool(lot.client_id)),
            {"alloy": lot.alloy, "theirs": bool(lot.client_id), "fine": 0, **dict.fromkeys(PLACES, 0)},
        )
        for place in PLACES:
            row[place] += getattr(lot, place)
        row["fine"] += sum(getattr(lot, place) for place in PLACES) * lot.fineness_ppt // 1000
    return [row for row in rows.values() if any(row[place] for place in PLACES)]


def unbooked(*, commission: Commission) -> list[tuple[Weighing, str]]:
    """Weights of the bench that the metal account has yet to take over, each with the kind of movement it is."""
    kinds = {
        WeighingKind.RETURNS: MovementKind.RETURN,
        WeighingKind.FILINGS: MovementKind.FILINGS,
        WeighingKind.MOUNT: MovementKind.PIECE,
    }
    rows = (
        Weighing.objects.filter(
            commission=commission,
            kind__in=kinds,
            voids__isnull=True,
            voided_by__isnull=True,
            movement__isnull=True,
        )
        .select_related("person")
        .order_by("at", "id")
    )
    found = [(row, kinds[WeighingKind(row.kind)]) for row in rows]
    mounts = [pair for pair in found if pair[1] == MovementKind.PIECE]
    booked = MetalMovement.objects.filter(
        commission=commission, kind=MovementKind.PIECE, reversed_by__isnull=True, reverses__isnull=True
    ).exists()
    # Of several weighings of the mount the last one is the finished mount; earlier ones are on the way to it.
    return [pair for pair in found if pair[1] != MovementKind.PIECE or (pair == mounts[-1] and not booked)]
