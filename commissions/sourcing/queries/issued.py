"""Small stones at one job: what was issued of which size and lot, what became of it, and whether it adds up."""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce

from django.db.models import Q, Sum

from commissions.design.queries import agreed
from commissions.record.models import Commission
from commissions.sourcing.models import LotKind, LotMove, Origin
from commissions.sourcing.queries.melee import Heap
from gemcalc.halo.case import size_label

WEIGHING_MCT = 2
"""What one weighing of a few small stones may be off, 0.001 ct: the last digit of the scale both ways. Our own figure."""

SHARE_PCT = 1.0
"""What the weights of one job may be off in all, % of what was issued. Our own figure."""


@dataclass(frozen=True, kw_only=True)
class IssuedLot:
    """One lot at one job: count and weight (0.001 ct) of everything that happened to its stones there."""

    lot: int
    name: str
    species: str
    origin: str
    size_hmm: int
    issued: Heap
    returned: Heap
    set: Heap
    broken: Heap
    lost: Heap
    weighings: int
    holder: str

    @property
    def size(self) -> str:
        """Its size as the sheet writes it, such as ``1.30``."""
        return size_label(self.size_hmm / 100)

    @property
    def origin_words(self) -> str:
        """Its declared origin."""
        return Origin(self.origin).label

    @property
    def open(self) -> Heap:
        """What was issued and is neither back, set, broken nor lost."""
        gone = reduce(_plus, (self.returned, self.set, self.broken, self.lost))
        return Heap(count=self.issued.count - gone.count, weight_mct=self.issued.weight_mct - gone.weight_mct)

    @property
    def tolerance_mct(self) -> int:
        """What its weights may be off: the scale's last digit at every weighing, or a share of what was issued."""
        return max(self.weighings * WEIGHING_MCT, round(self.issued.weight_mct * SHARE_PCT / 100))


def _plus(one: Heap, other: Heap) -> Heap:
    return Heap(count=one.count + other.count, weight_mct=one.weight_mct + other.weight_mct)


def issued_to(*, commission: Commission) -> list[IssuedLot]:
    """What of each lot went to a job and what became of it, by size and name; one question to the database."""
    sums = {
        f"{kind.value}_{field}": Sum(field, filter=Q(kind=kind), default=0)
        for kind in LotKind
        for field in ("count", "weight_mct")
    }
    moves = LotMove.objects.filter(commission=commission)
    rows = (
        moves.values("lot", "lot__name", "lot__species", "lot__origin", "lot__size_hmm")
        .annotate(**sums, weighings=Sum(1, filter=Q(kind__in=(LotKind.ISSUE, LotKind.RETURN)), default=0))
        .order_by("lot__size_hmm", "lot__name")
    )
    holders = dict(moves.filter(kind=LotKind.ISSUE).order_by("id").values_list("lot", "holder"))
    return [
        IssuedLot(
            lot=row["lot"],
            name=row["lot__name"],
            species=row["lot__species"],
            origin=row["lot__origin"],
            size_hmm=row["lot__size_hmm"],
            weighings=row["weighings"],
            holder=holders.get(row["lot"], ""),
            issued=_heap(row, LotKind.ISSUE),
            returned=_heap(row, LotKind.RETURN),
            set=_heap(row, LotKind.SET),
            broken=_heap(row, LotKind.BROKEN),
            lost=_heap(row, LotKind.LOST),
        )
        for row in rows
    ]


def _heap(row: dict, kind: LotKind) -> Heap:
    return Heap(count=row[f"{kind.value}_count"], weight_mct=row[f"{kind.value}_weight_mct"])


@dataclass(frozen=True, kw_only=True)
class SizeRow:
    """One size of the halo: how many the agreed design wants, and how many are at the job for it."""

    size: str
    wanted: int
    there: int
    set: int


@dataclass(frozen=True, kw_only=True)
class Reckoning:
    """The small stones of one job reckoned up, by count and by weight; ``faults`` in words, empty where it adds up."""

    lots: list[IssuedLot]
    sizes: list[SizeRow]
    open: Heap
    tolerance_mct: int
    faults: list[str]

    @property
    def adds_up(self) -> bool:
        """Whether nothing is open, by count or by weight."""
        return not self.faults


def reconcile(*, commission: Commission) -> Reckoning:
    """
    What was issued against what is set, back, broken and lost: by count exactly, by weight within the tolerance.

    The tolerance of a lot is 0.002 ct for every weighing or 1 % of what was issued, whichever is more.
    """
    lots = issued_to(commission=commission)
    faults = []
    for lot in lots:
        if lot.open.count:
            faults.append(
                f"{lot.open.count} of {lot.issued.count} stones of {lot.name} ({lot.size} mm) are not accounted for."
            )
        elif abs(lot.open.weight_mct) > lot.tolerance_mct:
            faults.append(
                f"{lot.name} ({lot.size} mm) adds up by count, but {lot.open.weight_mct / 1000:.3f} ct are missing, "
                f"more than the {lot.tolerance_mct / 1000:.3f} ct that weighing may be off: look for a swapped stone."
            )
    return Reckoning(
        lots=lots,
        sizes=sizes_at(commission=commission, lots=lots),
        open=reduce(_plus, (lot.open for lot in lots), Heap(count=0, weight_mct=0)),
        tolerance_mct=sum(lot.tolerance_mct for lot in lots),
        faults=faults,
    )


def halo_counts(*, commission: Commission) -> dict[str, int]:
    """Count per size of the agreed halo, as its revision stores it; empty for a ring without one."""
    revision = agreed(commission=commission)
    layout = revision.outputs.get("layout") if revision else None
    return dict(layout["figures"]["counts"]) if layout and layout["feasible"] else {}


def sizes_at(*, commission: Commission, lots: list[IssuedLot]) -> list[SizeRow]:
    """The sizes of the agreed halo beside what is at the job, and any size that was issued without being wanted."""
    wanted = halo_counts(commission=commission)
    rows = []
    for size in sorted({*wanted, *(lot.size for lot in lots)}, key=float):
        mine = [lot for lot in lots if lot.size == size]
        rows.append(
            SizeRow(
                size=size,
                wanted=wanted.get(size, 0),
                there=sum(
                    lot.issued.count - lot.returned.count - lot.broken.count - lot.lost.count for lot in mine
                ),
                set=sum(lot.set.count for lot in mine),
            )
        )
    return rows
