"""What a job was to cost and what it has cost so far, part by part."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import Sum

from commissions.money.models import CommitmentKind, LineKind, QuoteLine, QuoteStatus
from commissions.money.queries.balances import commitments, exchange_gain
from commissions.record.models import Commission

PARTS: list[tuple[str, tuple[str, ...], tuple[str, ...]]] = [
    ("Stones", (LineKind.CENTRE, LineKind.HALO, LineKind.OTHER), (CommitmentKind.STONE,)),
    ("Metal", (LineKind.METAL,), (CommitmentKind.METAL,)),
    (
        "Work",
        (
            LineKind.DESIGN,
            LineKind.MAKING,
            LineKind.SETTING,
            LineKind.FINISHING,
            LineKind.MARKING,
            LineKind.ENGRAVING,
        ),
        (CommitmentKind.WORK, CommitmentKind.TIME),
    ),
    ("Delivery", (LineKind.DELIVERY,), (CommitmentKind.CARRIAGE,)),
]


@dataclass(frozen=True, kw_only=True)
class ProfitRow:
    """One part of a job in minor units: quoted without tax, its forecast cost, and what it has cost so far."""

    name: str
    quoted: int
    forecast: int
    actual: int

    @property
    def over(self) -> int:
        """Cost beyond the forecast; below nought where it was cheaper."""
        return self.actual - self.forecast

    @property
    def margin(self) -> int:
        """What is left of the quoted sum after what it has cost so far."""
        return self.quoted - self.actual


def profit(*, commission: Commission) -> list[ProfitRow]:
    """The parts of an agreed job and, as the last row, their sums; empty before an agreement."""
    lines = {
        kind: (quoted, cost)
        for kind, quoted, cost in QuoteLine.objects.filter(
            quote__commission=commission, quote__status=QuoteStatus.ACCEPTED
        )
        .order_by()
        .values_list("kind")
        .annotate(quoted=Sum("total_minor"), cost=Sum("cost_minor"))
    }
    if not lines:
        return []
    spent = dict(
        commitments(commission=commission).order_by().values_list("kind").annotate(total=Sum("minor"))
    )
    rows = [
        ProfitRow(
            name=name,
            quoted=sum(lines.get(kind, (0, 0))[0] for kind in quoted),
            forecast=sum(lines.get(kind, (0, 0))[1] for kind in quoted),
            actual=sum(spent.get(kind, 0) for kind in actual),
        )
        for name, quoted, actual in PARTS
    ]
    adjusted = lines.get(LineKind.ADJUSTMENT)
    if adjusted:
        rows.append(ProfitRow(name="Adjustments", quoted=adjusted[0], forecast=adjusted[1], actual=0))
    gain = exchange_gain(commission=commission)
    if gain:
        rows.append(ProfitRow(name="Exchange difference", quoted=0, forecast=0, actual=-gain))
    return [
        *rows,
        ProfitRow(
            name="Together",
            quoted=sum(row.quoted for row in rows),
            forecast=sum(row.forecast for row in rows),
            actual=sum(row.actual for row in rows),
        ),
    ]
