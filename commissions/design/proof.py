"""Whether what is stored of a revision is what its parameters give today."""

from __future__ import annotations

from dataclasses import dataclass

from commissions.design import computing
from commissions.design.models import Revision

SLACK = 1e-6
"""Figures closer than this, in their own unit, are the same: processors differ in the last digits."""

PARTS = {
    "layout": "Halo",
    "figures": "figures",
    "counts": "stones per size",
    "metal": "Metal",
    "findings": "findings",
    "stones": "stones",
    "cast_mg": "cast weight, mg",
    "finished_mg": "finished weight, mg",
    "pour_mg": "weight to melt, mg",
    "pattern_mg": "model weight, mg",
    "shank_mm3": "shank, mm³",
    "head_mm3": "head, mm³",
    "width_mm": "width over all, mm",
    "length_mm": "length over all, mm",
    "gap_least_mm": "least gap, mm",
    "gap_worst_mm": "greatest gap, mm",
    "weight_ct": "halo weight, ct",
    "density_g_cm3": "density, g/cm³",
}
MOST_ROWS = 12


@dataclass(frozen=True, kw_only=True)
class Proof:
    """
    A revision computed anew.

    Args:
        changes: What differs, in words; empty where every figure is the stored one.
        engine_then: Version that computed what is stored.
        engine_now: Version that computed it now.
    """

    changes: list[str]
    engine_then: str
    engine_now: str

    @property
    def holds(self) -> bool:
        """Whether the stored figures are the ones the parameters give."""
        return not self.changes

    @property
    def words(self) -> str:
        """One sentence for the page."""
        if self.holds:
            return f"Computed anew from its parameters just now (engine {self.engine_now}): every figure is the stored one."
        return (
            f"Stored with engine {self.engine_then}; engine {self.engine_now} gives something else from the same "
            f"parameters. What was sent stays as it is. " + "; ".join(self.changes)
        )


def prove(revision: Revision) -> Proof:
    """
    Compute a revision anew from its parameters and hold it against what is stored.

    Raises:
        BadInput: today's engine refuses the stored parameters; its field is named.
    """
    now = computing.outputs(revision.parameters)
    rows: list[str] = []
    for part in sorted({*revision.outputs, *now} - {"engine"}):
        _walk([part], revision.outputs.get(part), now.get(part), rows)
    if len(rows) > MOST_ROWS:
        rows = [*rows[:MOST_ROWS], f"and {len(rows) - MOST_ROWS} more"]
    return Proof(changes=rows, engine_then=revision.engine, engine_now=now["engine"])


def _walk(path: list[str], then: object, now: object, rows: list[str]) -> None:
    if isinstance(then, dict) and isinstance(now, dict):
        for key in sorted({*then, *now}):
            _walk([*path, key], then.get(key), now.get(key), rows)
    elif isinstance(then, list) and isinstance(now, list) and len(then) == len(now):
        for place, (one, other) in enumerate(zip(then, now, strict=True), start=1):
            _walk([*path, str(place)], one, other, rows)
    elif not _same(then, now):
        what = ", ".join(PARTS.get(step, step.replace("_", " ")) for step in path)
        rows.append(f"{what}: stored {_short(then)}, now {_short(now)}")


def _same(then: object, now: object) -> bool:
    numbers = (int, float)
    if isinstance(then, bool) or isinstance(now, bool):
        return then is now
    if isinstance(then, numbers) and isinstance(now, numbers):
        return abs(then - now) <= SLACK
    return then == now


def _short(value: object) -> str:
    text = f"{value:g}" if isinstance(value, float) else "nothing" if value is None else str(value)
    return text if len(text) <= 60 else text[:57] + "…"
