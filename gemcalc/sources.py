"""The registry of sources: every constant and formula of the figures names a key of this table."""

from __future__ import annotations

from gemcalc.source_row import Mark, Source
from gemcalc.sources_fit import FIT_SOURCES
from gemcalc.sources_metal import METAL_SOURCES
from gemcalc.sources_rings import RING_SOURCES
from gemcalc.sources_stones import STONE_SOURCES

__all__ = ["SOURCES", "Mark", "Source"]


def _table(*rows: Source) -> dict[str, Source]:
    return {row.key: row for row in rows}


SOURCES: dict[str, Source] = _table(
    *FIT_SOURCES,
    *METAL_SOURCES,
    *RING_SOURCES,
    *STONE_SOURCES,
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
