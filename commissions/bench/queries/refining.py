"""Reads of what went to a refiner."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass

from commissions.bench.models import MetalMovement, MovementKind, RefinerLot, RefinerSettlement
from studio import clock

OPEN_TOO_LONG = datetime.timedelta(days=365)
"""A lot that a refiner has had for longer is asked about. Common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Refining:
    """One lot at the refiner: what went, what fine metal the filings should hold, and what was credited."""

    parcel: RefinerLot
    filings_mg: int
    expected_fine_mg: int
    settlement: RefinerSettlement | None

    @property
    def difference_mg(self) -> int:
        """Fine metal credited, less what the filings should hold."""
        return self.settlement.fine_mg - self.expected_fine_mg if self.settlement else 0

    @property
    def share_pct(self) -> float | None:
        """Fine metal credited in percent of what the filings should hold."""
        if self.settlement is None or not self.expected_fine_mg:
            return None
        return 100 * self.settlement.fine_mg / self.expected_fine_mg

    @property
    def is_old(self) -> bool:
        """Whether it has been open for more than a year."""
        return self.settlement is None and clock.now() - self.parcel.sent_at > OPEN_TOO_LONG


def refinings() -> list[Refining]:
    """Every lot that went to a refiner, the newest first: two queries."""
    sums: dict[int, list[int]] = defaultdict(lambda: [0, 0])
    rows = MetalMovement.objects.filter(kind=MovementKind.REFINE_OUT, refiner_lot__isnull=False)
    for pk, mg, fineness in rows.values_list("refiner_lot", "mg", "lot__fineness_ppt"):
        sums[pk][0] += mg
        sums[pk][1] += mg * fineness
    return [
        Refining(
            parcel=parcel,
            filings_mg=sums[parcel.pk][0],
            expected_fine_mg=round(sums[parcel.pk][1] / 1000),
            settlement=getattr(parcel, "settlement", None),
        )
        for parcel in RefinerLot.objects.select_related("settlement", "client", "person")
    ]
