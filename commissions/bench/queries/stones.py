"""Small stones of a job: what its halo needs, what the drawer issued, and what the bench counted."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import Q, Sum

from commissions.bench.models import StoneTally
from commissions.bench.queries.facts import latest_count
from commissions.design.queries import agreed
from commissions.record.models import Commission
from commissions.sourcing.models import LotKind, LotMove, MeleeLot
from gemcalc.halo.case import size_label

WEIGHT_BAND = 0.15
"""How far the weight of what came back may lie from count times mean, as a share. Common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Issued:
    """One lot at one job by the drawer's own book: issued in all, and what is booked of it."""

    lot: MeleeLot
    size: str
    issued: int
    issued_mct: int
    booked: dict[str, int]
    booked_mct: dict[str, int]

    @property
    def here(self) -> int:
        """Stones that can be in the ring or beside it: issued, less what went back, broke or was lost."""
        return self.issued - sum(self.booked[kind] for kind in (LotKind.RETURN, LotKind.BROKEN, LotKind.LOST))


GONE_KINDS = (LotKind.SET, LotKind.RETURN, LotKind.BROKEN, LotKind.LOST)


def needed(*, commission: Commission) -> dict[str, int] | None:
    """Halo stones of the agreed design by size; empty where it has no halo, None where no design is agreed."""
    revision = agreed(commission=commission)
    if revision is None:
        return None
    layout = revision.outputs.get("layout")
    return dict(layout["figures"]["counts"]) if layout and layout.get("feasible") else {}


def issued_lots(*, commission: Commission) -> list[Issued]:
    """Every lot that was issued to a job, by size: two queries."""

    def total(field: str, kind: str) -> Sum:
        return Sum(field, filter=Q(kind=kind), default=0)

    kinds = (LotKind.ISSUE, *GONE_KINDS)
    sums = {
        f"{kind.value}_{field}": total(field, kind) for kind in kinds for field in ("count", "weight_mct")
    }
    rows = LotMove.objects.filter(commission=commission).order_by().values("lot").annotate(**sums)
    found = {row["lot"]: row for row in rows if row["issue_count"]}
    return [
        Issued(
            lot=lot,
            size=size_label(lot.size_hmm / 100),
            issued=found[lot.pk]["issue_count"],
            issued_mct=found[lot.pk]["issue_weight_mct"],
            booked={kind: found[lot.pk][f"{kind.value}_count"] for kind in GONE_KINDS},
            booked_mct={kind: found[lot.pk][f"{kind.value}_weight_mct"] for kind in GONE_KINDS},
        )
        for lot in MeleeLot.objects.filter(pk__in=found).order_by("size_hmm", "id")
    ]


def lacking(*, commission: Commission) -> dict[str, int]:
    """Stones that the halo needs and that are not at the job, by size; what broke or was lost counts as gone."""
    wanted = needed(commission=commission) or {}
    here: Counter[str] = Counter()
    told = {row.lot_id: row for row in tallies(commission=commission)}
    for row in issued_lots(commission=commission):
        counted = told.get(row.lot.pk)
        gone = counted.returned + counted.broken + counted.lost if counted else 0
        here[row.size] += min(row.here, row.issued - gone)
    return {size: count - here[size] for size, count in wanted.items() if here[size] < count}


def tallies(*, commission: Commission) -> list[StoneTally]:
    """The last count that stands, lot by lot; empty where it was not counted by lot."""
    count = latest_count(commission=commission)
    return list(count.tallies.select_related("lot")) if count else []


def weight_findings(row: StoneTally) -> str:
    """Why the weights of one lot do not agree with its count, in words; empty where they do."""
    mean = row.mean_mct
    size = size_label(row.lot.size_hmm / 100)
    if row.returned and not row.returned_mct:
        return f"{size} mm: weigh the {row.returned} that came back."
    expected = row.returned * mean
    if abs(row.returned_mct - expected) > max(0.5 * mean, WEIGHT_BAND * expected):
        return (
            f"{size} mm: {row.returned} came back and weigh {row.returned_mct / 1000:.3f} ct, where "
            f"{expected / 1000:.3f} ct would be so many of this lot. Count and weigh them again."
        )
    if row.broken_mct > 1.5 * row.broken * mean:
        return f"{size} mm: the pieces of {row.broken} broken weigh more than the stones did."
    return ""


def stones_missing(*, commission: Commission) -> Iterable[str]:
    """Everything that does not add up: by number, by weight, and against the sheet, lot by lot and size by size."""
    issued = issued_lots(commission=commission)
    counted = {row.lot_id: row for row in tallies(commission=commission)}
    set_by_size: Counter[str] = Counter()
    for row in issued:
        tally = counted.get(row.lot.pk)
        if tally is None:
            yield f"{row.size} mm of {row.lot} were issued and not counted."
            continue
        set_by_size[row.size] += tally.set
        left = row.issued - (tally.issued - tally.unaccounted)
        if left > 0:
            yield f"{row.size} mm of {row.lot}: {left} of {row.issued} issued stones are not accounted for."
        elif left < 0:
            yield f"{row.size} mm of {row.lot}: {-left} more were counted than were issued."
        elif words := weight_findings(tally):
            yield words
    for size, count in (needed(commission=commission) or {}).items():
        if counted and set_by_size[size] != count:
            yield f"{size} mm: {set_by_size[size]} are set, and the sheet has {count}."
