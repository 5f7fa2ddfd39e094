"""Cuts and their weight factors for diamond: lengths in mm, weight in ct, a thin to medium girdle."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Form = Literal["mean-squared", "product"]
"""How measures enter: half of (length + width), squared, times depth; or length x width x depth."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Factor:
    """
    One printed weight factor.

    Args:
        length_to_width: Length divided by width for which it is printed.
        factor: Weight divided by the cut's form of the measures, ct/mm3.
        sources: Keys of its sources.
    """

    length_to_width: float
    factor: float
    sources: tuple[str, ...]


@dataclass(frozen=True, kw_only=True, slots=True)
class Cut:
    """
    One cut and what is known of its weight.

    Args:
        key: Our word for it in inputs.
        form: How the measures enter the formula.
        factors: Its printed factors, rising in length to width.
        band_pct: How far one stone may lie from the estimate, % either way.
        band_why: Where that band comes from, in words.
        chart_length_mm: Length of a stone of 1 ct on the published size chart, mm, or None.
        chart_width_mm: Width of that stone, mm, or None.
        typical_depth_pct: Depth in % of width where no chart gives a stone of 1 ct (common practice).
        typical_length_to_width: Length to width where no chart gives one (common practice).
        symmetric_turn: True when length and width may be exchanged (the stone has no point).
    """

    key: str
    form: Form
    factors: tuple[Factor, ...]
    band_pct: float
    band_why: str
    chart_length_mm: float | None = None
    chart_width_mm: float | None = None
    typical_depth_pct: float = 60.0
    typical_length_to_width: float = 1.0
    symmetric_turn: bool = True


def _rows(sources: tuple[str, ...], *printed: tuple[float, float]) -> tuple[Factor, ...]:
    return tuple(Factor(length_to_width=ratio, factor=factor, sources=sources) for ratio, factor in printed)


_PAGE = ("weight-page", "gcal-table")
_ROUND_BAND = "97 of 100 clean rounds of the open diamonds set weigh within 5 % of it"
_TABLE_BAND = "published tables for this cut differ among themselves; common practice, no source"

CUTS: tuple[Cut, ...] = (
    Cut(
        key="round",
        form="mean-squared",
        factors=_rows(("weight-page", "gcal-table", "gemgate"), (1.0, 0.0061)),
        band_pct=5.0,
        band_why=_ROUND_BAND,
        chart_length_mm=6.4,
        chart_width_mm=6.4,
    ),
    Cut(
        key="oval",
        form="mean-squared",
        factors=_rows(_PAGE, (1.0, 0.0062)),
        band_pct=8.0,
        band_why="two published forms of the oval factor differ by up to 4 %",
        chart_length_mm=8.0,
        chart_width_mm=5.5,
    ),
    Cut(
        key="pear",
        form="product",
        factors=(
            *_rows(_PAGE, (1.25, 0.00615), (1.5, 0.006)),
            *_rows(("supplier-blog",), (1.66, 0.0059)),
            *_rows(_PAGE, (2.0, 0.00575)),
        ),
        band_pct=8.0,
        band_why=_TABLE_BAND,
        chart_length_mm=8.5,
        chart_width_mm=5.5,
        symmetric_turn=False,
    ),
    Cut(
        key="marquise",
        form="product",
        factors=_rows(
            ("gemgate", "weight-page", "gcal-table"),
            (1.5, 0.00565),
            (1.75, 0.0057),
            (2.0, 0.0058),
            (2.25, 0.00583),
            (2.5, 0.00585),
            (2.75, 0.0059),
            (3.0, 0.00595),
        ),
        band_pct=8.0,
        band_why=_TABLE_BAND,
        chart_length_mm=10.5,
        chart_width_mm=5.0,
    ),
    Cut(
        key="emerald",
        form="product",
        factors=_rows(_PAGE, (1.0, 0.008), (1.5, 0.0092), (2.0, 0.01), (2.5, 0.0106)),
        band_pct=8.0,
        band_why=_TABLE_BAND,
        chart_length_mm=6.5,
        chart_width_mm=5.0,
    ),
    Cut(
        key="asscher",
        form="product",
        factors=_rows(("gcal-table",), (1.0, 0.008)),
        band_pct=8.0,
        band_why=_TABLE_BAND,
        chart_length_mm=5.5,
        chart_width_mm=5.5,
    ),
    Cut(
        key="princess",
        form="product",
        factors=_rows(("gcal-table",), (1.0, 0.0082)),
        band_pct=8.0,
        band_why="0.0083 also circulates; common practice, no source",
        chart_length_mm=5.5,
        chart_width_mm=5.5,
    ),
    Cut(
        key="radiant",
        form="product",
        factors=_rows(("gcal-table",), (1.0, 0.0081), (1.5, 0.0084)),
        band_pct=8.0,
        band_why=_TABLE_BAND,
        chart_length_mm=6.0,
        chart_width_mm=5.5,
    ),
    Cut(
        key="cushion",
        form="product",
        factors=_rows(("gcal-table",), (1.0, 0.00815)),
        band_pct=10.0,
        band_why="cushions differ most in how far their sides bow; common practice, no source",
        chart_length_mm=6.5,
        chart_width_mm=5.5,
    ),
    Cut(
        key="heart",
        form="product",
        factors=_rows(("gcal-table",), (1.0, 0.0059)),
        band_pct=10.0,
        band_why="published heart factors for coloured stones disagree by 17 %",
        chart_length_mm=6.7,
        chart_width_mm=6.7,
        symmetric_turn=False,
    ),
    Cut(
        key="trilliant",
        form="product",
        factors=_rows(("gcal-table", "gemgate"), (1.0, 0.0057)),
        band_pct=10.0,
        band_why=_TABLE_BAND,
        typical_depth_pct=50.0,
        symmetric_turn=False,
    ),
    Cut(
        key="baguette",
        form="product",
        factors=_rows(("factor-memory",), (1.0, 0.00915)),
        band_pct=12.0,
        band_why="the factor is from memory",
        typical_length_to_width=2.0,
    ),
)
"""The twelve cuts. Factors are as printed; the bands say how far to trust them for one stone."""
