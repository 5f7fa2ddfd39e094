"""Where our figures come from, as a page shows it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from gemcalc.checks import Limit
from gemcalc.evidence import Evidence, Outcome, evidence

MARKS = (
    ("seen", "Read in the source",
     "Somebody opened the table, the standard or the page and typed its figures as they are printed there."),
    ("lib", "Made by an open library",
     "Worked out afresh by a library that others maintain and that shares nothing with our own code."),
    ("calc", "Exact mathematics", "A proof or a closed form; it holds to the last digit of the machine."),
    ("memory", "From memory",
     "Known to be right by people of the trade, but not yet held against a printed page. Take it with that in mind."),
    ("practice", "Common practice",
     "How workshops do it. No published source was found; the bench and the supplier's own sheet come first."),
)  # fmt: skip
"""How a source is known: its mark, in words, and what that is worth."""

PARTS = {
    "rings": "Ring sizes", "melee": "Melee", "weights": "Weights of stones", "sizes": "Sizes of stones",
    "gravities": "Specific gravities", "metal": "Metals", "circles": "Circles in rings", "settings": "Settings",
    "bands": "Bands",
}  # fmt: skip


@dataclass(frozen=True)
class Shown:
    """One source as the page shows it."""

    row: Evidence

    @property
    def citation(self) -> str:
        """The citation, without the marks that set it in docstrings."""
        return self.row.source.citation.replace("`", "")

    @property
    def close(self) -> str:
        """How close our figures come to the printed ones, in words."""
        row = self.row
        if not row.outcomes:
            return ""
        count = len(row.outcomes)
        held = "it holds" if count == 1 else "all hold" if row.holding == count else f"{row.holding} hold"
        words = f"{count} printed figure{'s' if count > 1 else ''} checked, {held}"
        if row.worst_share is None:
            return words
        if row.worst_share < 0.005:
            return f"{words}, to the last printed digit"
        return f"{words}; the farthest uses {100 * row.worst_share:.0f} % of what its printing leaves open"

    @property
    def outcomes(self) -> tuple[Outcome, ...]:
        """The checks, one row each."""
        return self.row.outcomes

    @property
    def limits(self) -> list[dict[str, str]]:
        """Limits that are measured against it, in words."""
        return [_limit(limit) for limit in self.row.limits]


def _limit(limit: Limit) -> dict[str, str]:
    unit = "" if limit.unit == "1" else f" {limit.unit}"
    word = "at most" if limit.kind == "at_most" else "at least"
    return {"what": limit.what, "limit": f"{word} {limit.limit}{unit}", "measured": f"{limit.measured}{unit}"}


@cache
def page_of_sources() -> dict[str, object]:
    """The whole page; it changes only with the program."""
    rows = evidence()
    groups = [
        {
            "mark": mark,
            "name": name,
            "words": words,
            "rows": [Shown(row) for row in rows if row.source.mark == mark],
        }
        for mark, name, words in MARKS
    ]
    parts: dict[str, int] = {}
    for row in rows:
        for outcome in row.outcomes:
            part = PARTS.get(outcome.check.subject, outcome.check.subject)
            parts[part] = parts.get(part, 0) + 1
    return {
        "groups": groups,
        "sources": len(rows),
        "checks": sum(len(row.outcomes) for row in rows),
        "holding": sum(row.holding for row in rows),
        "limits": sum(len(row.limits) for row in rows),
        "parts": sorted(parts.items(), key=lambda part: -part[1]),
        "failing": [outcome for row in rows for outcome in row.outcomes if not outcome.holds],
    }
