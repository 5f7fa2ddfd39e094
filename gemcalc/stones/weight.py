"""Weight of a stone from its millimetres, with the range and the reasons."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range
from gemcalc.stones.coloured import coloured_estimates_ct
from gemcalc.stones.cuts import Cut
from gemcalc.stones.factors import cut_named, factor_at
from gemcalc.stones.fitted import FIT_BAND_PCT, fit_holds, fitted_round_factor
from gemcalc.stones.girdle import girdle_multiplier
from gemcalc.stones.species import Species, species_named

FACTOR_DENSITY_G_CM3 = 3.52
"""Density of diamond for which the printed factors stand, g/cm3. Source: igs-sg, wade-1918."""

_LIKE_DIAMOND = frozenset({"diamond", "moissanite", "cubic-zirconia"})
_OFF_TABLE_PCT = 3.0
_ODD_DEPTH_PCT = 5.0
# A ratio on the edge must be judged alike for a stone twice its size, whatever the last bit says.
_HAIR = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class WeightEstimate:
    """
    An estimated weight and everything that stands behind it.

    Args:
        weight_ct: Best estimate, ct.
        low_ct: Low end of what the stone may weigh, ct.
        high_ct: High end, ct.
        factor: Factor used, ct/mm3, for diamond with a medium girdle.
        plain_ct: Estimate by the printed factor, ct.
        fitted_ct: Estimate by the fit to the open diamonds set, ct, or None where it does not apply.
        girdle_multiplier: Multiplier for the girdle.
        density_ratio: Density of the species divided by that of diamond.
        why: The reasons, one sentence each.
        warnings: What should be looked at again, one sentence each.
        sources: Keys of the sources used.
    """

    weight_ct: float
    low_ct: float
    high_ct: float
    factor: float
    plain_ct: float
    fitted_ct: float | None
    girdle_multiplier: float
    density_ratio: float
    why: tuple[str, ...]
    warnings: tuple[str, ...]
    sources: tuple[str, ...]


def weight_from_measures(
    *,
    cut: str,
    length_mm: float,
    width_mm: float,
    depth_mm: float,
    species: str = "diamond",
    girdle: str = "medium",
    table_pct: float | None = None,
) -> WeightEstimate:
    """
    Estimated weight of a stone, ct, from its length, width and depth.

    Assumes a faceted stone of ordinary make; a mounted or odd stone may lie outside the range.
    Formula: factor x measures x girdle multiplier x density / 3.52, where the measures are
    ((length + width) / 2) squared x depth for rounds and ovals, length x width x depth for the others.
    With a table and a medium girdle a round takes the factor fitted to the open diamonds set instead.

    Args:
        cut: One of our twelve words.
        length_mm: Length (or greatest diameter), mm, from 0.3 to 100.
        width_mm: Width (or least diameter), mm, from 0.3 to 100.
        depth_mm: Depth, mm, from 0.1 to 100.
        species: Name of the species.
        girdle: Word for the girdle, or two joined by `-to-`.
        table_pct: Table in % of the mean diameter, from 30 to 95, or None.

    Returns:
        The estimate, ct; for a round diamond 97 of 100 stones lie inside the range.

    Raises:
        BadInput: the cut, species or girdle is not known, or length to width is outside 0.5 to 5.
        OutOfRange: a measure is out of range.

    Source:
        weight-page, gcal-table, gemgate, plotnine-diamonds, cgpm-1907

    >>> weight_from_measures(cut="round", length_mm=10.0, width_mm=10.0, depth_mm=6.0).weight_ct
    3.66
    """
    in_range(field="length_mm", value=length_mm, low=0.3, high=100.0)
    in_range(field="width_mm", value=width_mm, low=0.3, high=100.0)
    in_range(field="depth_mm", value=depth_mm, low=0.1, high=100.0)
    if table_pct is not None:
        in_range(field="table_pct", value=table_pct, low=30.0, high=95.0)
    shape, stone = cut_named(cut=cut), species_named(species=species)
    if shape.symmetric_turn and width_mm > length_mm:
        length_mm, width_mm = width_mm, length_mm
    if not 0.5 <= length_mm / width_mm <= 5.0:
        raise BadInput(
            f"is {length_mm / width_mm:.2g} times the width, and no factor is known for that",
            field="length_mm",
        )
    factor = factor_at(cut=shape.key, length_to_width=length_mm / width_mm)
    measures = _measures(shape, length_mm, width_mm, depth_mm)
    multiplier, girdle_low, girdle_high = girdle_multiplier(girdle=girdle, width_mm=width_mm)
    ratio = stone.density_g_cm3 / FACTOR_DENSITY_G_CM3
    plain_ct = factor * measures * multiplier * ratio
    fitted = _fitted_factor(shape, (length_mm + width_mm) / 2, depth_mm, table_pct)
    fitted_ct = None if fitted is None else fitted * measures * ratio
    # A girdle that somebody looked at says more than what depth and table hint at.
    by_fit = fitted is not None and girdle_low == girdle_high == 1.0

    warnings: list[str] = []
    band_pct = FIT_BAND_PCT if by_fit else shape.band_pct
    band_pct += _doubt_pct(shape, length_mm, width_mm, depth_mm, warnings)
    weight_ct = fitted_ct if by_fit and fitted_ct is not None else plain_ct
    down = math.hypot(band_pct / 100, 1 - girdle_low / multiplier, 1 - stone.low_g_cm3 / stone.density_g_cm3)
    up = math.hypot(band_pct / 100, girdle_high / multiplier - 1, stone.high_g_cm3 / stone.density_g_cm3 - 1)
    low_ct, high_ct = weight_ct * (1 - min(down, 0.95)), weight_ct * (1 + up)
    why = _reasons(shape, stone, girdle, multiplier, band_pct, by_fit)
    sources = (*shape.factors[0].sources, *stone.sources)
    if by_fit:
        sources = ("diamonds-fit", *sources)
    if multiplier != 1.0:
        sources = (*sources, "gemgate", "gcal-table")
    if stone.key not in _LIKE_DIAMOND:
        others = coloured_estimates_ct(
            cut=shape.key,
            length_mm=length_mm,
            width_mm=width_mm,
            depth_mm=depth_mm,
            density_g_cm3=stone.density_g_cm3,
        )
        if others:
            low_ct, high_ct = min(low_ct, *others), max(high_ct, *others)
            told = " or ".join(f"{one:.2f} ct" for one in others)
            why.append(
                f"Tables for coloured stones, often cut deeper, give {told}; the range holds that too."
            )
            sources = (*sources, "igs-weight", "yourgemologist")
    return WeightEstimate(
        weight_ct=weight_ct,
        low_ct=low_ct,
        high_ct=high_ct,
        factor=fitted if by_fit and fitted is not None else factor,
        plain_ct=plain_ct,
        fitted_ct=fitted_ct,
        girdle_multiplier=multiplier,
        density_ratio=ratio,
        why=tuple(why),
        warnings=tuple(warnings),
        sources=tuple(dict.fromkeys(sources)),
    )


def _measures(shape: Cut, length_mm: float, width_mm: float, depth_mm: float) -> float:
    if shape.form == "mean-squared":
        mean = (length_mm + width_mm) / 2
        return mean * mean * depth_mm
    return length_mm * width_mm * depth_mm


def _fitted_factor(shape: Cut, diameter_mm: float, depth_mm: float, table_pct: float | None) -> float | None:
    if shape.key != "round" or table_pct is None:
        return None
    depth_pct = 100 * depth_mm / diameter_mm
    if not fit_holds(diameter_mm=diameter_mm, depth_pct=depth_pct, table_pct=table_pct):
        return None
    return fitted_round_factor(diameter_mm=diameter_mm, depth_pct=depth_pct, table_pct=table_pct)


def _doubt_pct(shape: Cut, length_mm: float, width_mm: float, depth_mm: float, warnings: list[str]) -> float:
    """Extra half-width of the range, %, where the measures leave what the factors were made for."""
    extra = 0.0
    ratio, rows = length_mm / width_mm, shape.factors
    if shape.key == "round" and ratio > 1.03 + _HAIR:
        warnings.append("The two diameters differ by more than 3 %: check the cut and the digits.")
        extra += _OFF_TABLE_PCT
    first, last = rows[0].length_to_width, rows[-1].length_to_width
    if len(rows) > 1 and not first - _HAIR <= ratio <= last + _HAIR:
        warnings.append(
            f"Factors are printed from {first:g} to {last:g} to 1; "
            f"this stone is {ratio:.2f} to 1, so the nearest is used."
        )
        extra += _OFF_TABLE_PCT
    depth_pct = 100 * depth_mm / width_mm
    if not 40.0 - _HAIR <= depth_pct <= 85.0 + _HAIR:
        warnings.append(f"The depth is {depth_pct:.0f} % of the width, which is unusual: check the digits.")
        extra += _ODD_DEPTH_PCT
    return extra


def _reasons(
    shape: Cut, stone: Species, girdle: str, multiplier: float, band_pct: float, by_fit: bool
) -> list[str]:
    why = []
    if by_fit:
        why.append(
            "Depth and table enter by a fit to the open diamonds set: "
            f"98 of 100 of its stones lie within {FIT_BAND_PCT:g} %."
        )
    else:
        why.append(f"Taken as good to {band_pct:g} % either way: {shape.band_why}.")
    if multiplier != 1.0:
        why.append(f"A {girdle.replace('-', ' ')} girdle multiplies the weight by {multiplier:.3g}.")
    if stone.key != "diamond":
        low, high = stone.low_g_cm3, stone.high_g_cm3
        why.append(f"{stone.name}: density {stone.density_g_cm3:g}, from {low:g} to {high:g}.")
    return why
