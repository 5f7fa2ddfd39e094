"""The registry of sources: every constant and formula of the figures names a key of this table."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Mark = Literal["seen", "lib", "calc", "memory", "practice"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """
    One published source.

    Args:
        key: Short name used in docstrings, rows and outputs.
        citation: Full citation as a reader would look it up.
        mark: How we know it: read (seen), produced by an open library (lib), exact mathematics (calc),
            from memory (memory), or common practice of the trade with no source (practice).
    """

    key: str
    citation: str
    mark: Mark


def _table(*rows: Source) -> dict[str, Source]:
    return {row.key: row for row in rows}


SOURCES: dict[str, Source] = _table(
    Source(
        key="cgpm-1907",
        citation="4th General Conference on Weights and Measures, 1907: the metric carat is 200 mg.",
        mark="seen",
    ),
    Source(
        key="practice",
        citation="Common practice of the trade, no published source found.",
        mark="practice",
    ),
    Source(
        key="exact-geometry",
        citation="Exact mathematics, worked out here.",
        mark="calc",
    ),
)
