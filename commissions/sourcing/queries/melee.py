"""Reads of the lots: what lies in the drawer, what is out, and where."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Q, Sum

from commissions.record.models import Commission
from commissions.sourcing.models import LotKind, LotMove, MeleeLot, Origin
from gemcalc.halo.case import size_label
from gemcalc.melee.lots import LotCheck, check_lot

INTO_DRAWER = (LotKind.RECEIVE, LotKind.RETURN, LotKind.ADJUST)
OUT_OF_JOB = (LotKind.RETURN, LotKind.SET, LotKind.BROKEN, LotKind.LOST)


@dataclass(frozen=True, kw_only=True)
class Heap:
    """Stones and their weight, 0.001 ct."""

    count: int
    weight_mct: int


@dataclass(frozen=True, kw_only=True)
class Balance:
    """What lies in the drawer, and what is out (at one job where one was asked for)."""

    drawer: Heap
    out: Heap

    def after(self, *, kind: str, count: int, weight_mct: int) -> tuple[Heap, Heap]:
        """Drawer and job after one more movement."""
        drawer = 1 if kind in INTO_DRAWER else -1 if kind == LotKind.ISSUE else 0
        out = 1 if kind == LotKind.ISSUE else -1 if kind in OUT_OF_JOB else 0
        return (
            Heap(
                count=self.drawer.count + drawer * count,
                weight_mct=self.drawer.weight_mct + drawer * weight_mct,
            ),
            Heap(count=self.out.count + out * count, weight_mct=self.out.weight_mct + out * weight_mct),
        )


def _sums(prefix: str = "") -> dict:
    """The four sums of movements, for aggregate or annotate; *prefix* leads from the lot to its moves."""

    def total(field: str, *kinds: str) -> Sum:
        return Sum(f"{prefix}{field}", filter=Q(**{f"{prefix}kind__in": kinds}), default=0)

    made = {}
    for field in ("count", "weight_mct"):
        made[f"drawer_{field}"] = total(field, *INTO_DRAWER) - total(field, LotKind.ISSUE)
        made[f"out_{field}"] = total(field, LotKind.ISSUE) - total(field, *OUT_OF_JOB)
    return made


def balance(*, lot: MeleeLot, commission: Commission | None = None) -> Balance:
    """The drawer of a lot, and what is out: at one job, or everywhere."""
    whole = LotMove.objects.filter(lot=lot).aggregate(**_sums())
    job = LotMove.objects.filter(lot=lot, commission=commission).aggregate(**_sums()) if commission else whole
    return Balance(
        drawer=Heap(count=whole["drawer_count"], weight_mct=whole["drawer_weight_mct"]),
        out=Heap(count=job["out_count"], weight_mct=job["out_weight_mct"]),
    )


def lots():
    """Every lot with its drawer and what is out, in one question to the database."""
    return MeleeLot.objects.annotate(**_sums("moves__")).order_by("species", "origin", "size_hmm", "id")


def moves_of(*, lot: MeleeLot):
    """The movements of a lot, the newest first."""
    return LotMove.objects.filter(lot=lot).select_related("commission").order_by("-id")


def drawer_stock(*, species: str, origin: str) -> dict[str, int]:
    """What the drawer holds of one species and origin, as a halo's case takes it: size to count."""
    stock: dict[str, int] = {}
    for row in lots().filter(species=species, origin=origin):
        if row.drawer_count > 0:
            label = size_label(row.size_hmm / 100)
            stock[label] = stock.get(label, 0) + row.drawer_count
    return stock


def lot_check(*, size_hmm: int, count: int, weight_mct: int) -> LotCheck:
    """Count and weight of a lot held against the size chart (see gemcalc.melee)."""
    return check_lot(count=count, weight_ct=weight_mct / 1000, diameter_mm=size_hmm / 100)


def melee_out() -> list[dict]:
    """Small stones that are out at jobs: lot, job, who took them, and how many; two questions to the database."""
    moves = LotMove.objects.filter(commission__isnull=False)
    rows = (
        moves.values(
            "lot", "lot__name", "lot__origin", "lot__size_hmm", "commission", "commission__reference"
        )
        .annotate(**_sums())
        .filter(out_count__gt=0)
        .order_by("commission__reference", "lot__size_hmm", "lot__name")
    )
    takers: dict[tuple[int, int], list[str]] = {}
    for lot, job, holder in (
        moves.filter(kind=LotKind.ISSUE).order_by("id").values_list("lot", "commission", "holder")
    ):
        names = takers.setdefault((lot, job), [])
        if holder not in names:
            names.append(holder)
    return [
        {
            "lot": row["lot__name"],
            "origin": Origin(row["lot__origin"]).label,
            "size_hmm": row["lot__size_hmm"],
            "reference": row["commission__reference"],
            "holder": ", ".join(takers.get((row["lot"], row["commission"]), [])),
            "count": row["out_count"],
            "weight_mct": row["out_weight_mct"],
        }
        for row in rows
    ]
