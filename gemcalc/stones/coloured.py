"""Published factors for coloured stones, often cut deeper than diamonds: an alternative."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.stones.cuts import Form


@dataclass(frozen=True, kw_only=True, slots=True)
class ColouredFactor:
    """
    One printed factor of the coloured-stone tables.

    Args:
        cut: Our word for the cut.
        form: How the measures enter.
        factor: Weight divided by measures and specific gravity, ct/mm3.
        sources: Keys of its sources.
    """

    cut: str
    form: Form
    factor: float
    sources: tuple[str, ...]


def _row(cut: str, form: Form, factor: float, *sources: str) -> ColouredFactor:
    return ColouredFactor(cut=cut, form=form, factor=factor, sources=sources)


COLOURED_FACTORS: tuple[ColouredFactor, ...] = (
    _row("round", "mean-squared", 0.0018, "igs-weight", "yourgemologist"),
    _row("oval", "mean-squared", 0.0020, "igs-weight", "yourgemologist"),
    _row("pear", "product", 0.0018, "igs-weight", "yourgemologist"),
    _row("marquise", "product", 0.0017, "yourgemologist"),
    _row("marquise", "product", 0.0016, "factor-memory"),
    _row("emerald", "product", 0.0025, "igs-weight", "yourgemologist"),
    _row("baguette", "product", 0.0026, "igs-weight", "yourgemologist"),
    _row("asscher", "product", 0.0023, "igs-weight", "yourgemologist"),
    _row("cushion", "mean-squared", 0.0022, "igs-weight"),
    _row("heart", "product", 0.0021, "igs-weight"),
    _row("heart", "product", 0.0018, "yourgemologist"),
)
"""Factors to be multiplied by specific gravity. Two tables disagree on the heart by 17 %: both stand here."""

_BY_CUT: dict[str, tuple[ColouredFactor, ...]] = {
    cut: tuple(row for row in COLOURED_FACTORS if row.cut == cut)
    for cut in {row.cut for row in COLOURED_FACTORS}
}


def coloured_estimates_ct(
    *, cut: str, length_mm: float, width_mm: float, depth_mm: float, density_g_cm3: float
) -> tuple[float, ...]:
    """
    Weights by the published coloured-stone tables, ct.

    Formula: measures times specific gravity times the printed factor.

    Args:
        cut: One of our twelve words.
        length_mm: Length, mm.
        width_mm: Width, mm.
        depth_mm: Depth, mm.
        density_g_cm3: Specific gravity, g/cm3.

    Returns:
        One weight for each table, ct; empty where no table has the cut. Good to about 10 %.

    Source:
        igs-weight, yourgemologist

    >>> coloured_estimates_ct(cut="oval", length_mm=8, width_mm=6, depth_mm=4, density_g_cm3=4.0)
    (1.568,)
    """
    mean = (length_mm + width_mm) / 2
    squared, product = mean * mean * depth_mm, length_mm * width_mm * depth_mm
    return tuple(
        row.factor * density_g_cm3 * (squared if row.form == "mean-squared" else product)
        for row in _BY_CUT.get(cut, ())
    )
