"""The weight of many stones at once: the same figures as for one, over numpy arrays."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from gemcalc.errors import BadInput
from gemcalc.stones import fitted
from gemcalc.stones.factors import cut_named
from gemcalc.stones.species import species_named
from gemcalc.stones.weight import FACTOR_DENSITY_G_CM3

Floats = NDArray[np.float64]


def _column(field: str, values: ArrayLike, low: float, high: float) -> Floats:
    column = np.asarray(values, dtype=np.float64)
    if column.size and not (np.min(column) >= low and np.max(column) <= high):
        row = int(np.argmin((column >= low) & (column <= high)))
        raise BadInput(
            f"must be from {low:g} to {high:g}; row {row + 1} is {column.ravel()[row]:g}", field=field
        )
    return column


def weights_ct(
    *,
    cut: str,
    length_mm: ArrayLike,
    width_mm: ArrayLike,
    depth_mm: ArrayLike,
    species: str = "diamond",
    table_pct: ArrayLike | None = None,
) -> Floats:
    """
    Estimated weights, ct, of many stones of one cut and species with medium girdles.

    The formulas are those of :func:`gemcalc.stones.weight.weight_from_measures`.
    With tables, rounds take the factor fitted to the open diamonds set wherever the fit holds.

    Args:
        cut: One of our twelve words.
        length_mm: Lengths or greatest diameters, mm, each from 0.3 to 100.
        width_mm: Widths or least diameters, mm, each from 0.3 to 100.
        depth_mm: Depths, mm, each from 0.1 to 100.
        species: Name of the species.
        table_pct: Tables in %, each from 30 to 95, or None.

    Returns:
        One weight for each row, ct.

    Raises:
        BadInput: the cut or species is not known, or a row is out of range (the message names the first).

    Source:
        weight-page, gcal-table, gemgate, diamonds-fit

    >>> weights_ct(cut="round", length_mm=[10.0, 6.51], width_mm=[10.0, 6.48], depth_mm=[6.0, 3.96]).round(3)
    array([3.66 , 1.019])
    """
    shape, stone = cut_named(cut=cut), species_named(species=species)
    length = _column("length_mm", length_mm, 0.3, 100.0)
    width = _column("width_mm", width_mm, 0.3, 100.0)
    depth = _column("depth_mm", depth_mm, 0.1, 100.0)
    if shape.symmetric_turn:
        length, width = np.maximum(length, width), np.minimum(length, width)
    rows = shape.factors
    factor: Floats | float = rows[0].factor
    if len(rows) > 1:
        ratio = _column("length_to_width", length / width, 0.5, 5.0)
        factor = np.interp(ratio, [row.length_to_width for row in rows], [row.factor for row in rows])
    mean = (length + width) / 2
    if shape.key == "round" and table_pct is not None:
        factor = _round_factors(mean, depth, _column("table_pct", table_pct, 30.0, 95.0), rows[0].factor)
    measures = mean * mean * depth if shape.form == "mean-squared" else length * width * depth
    weights: Floats = factor * measures * (stone.density_g_cm3 / FACTOR_DENSITY_G_CM3)
    return weights


def _round_factors(diameter: Floats, depth: Floats, table: Floats, plain: float) -> Floats:
    depth_pct = 100 * depth / diameter
    holds = np.ones(np.broadcast(diameter, depth_pct, table).shape, dtype=bool)
    for column, (low, high) in (
        (diameter, fitted.FIT_DIAMETER_MM),
        (depth_pct, fitted.FIT_DEPTH_PCT),
        (table, fitted.FIT_TABLE_PCT),
    ):
        holds &= (column >= low) & (column <= high)
    by_fit = (
        fitted.FIT_BASE
        + fitted.FIT_PER_DEPTH_POINT * (depth_pct - 61.5)
        + fitted.FIT_PER_TABLE_POINT * (table - 57.0)
        + fitted.FIT_PER_LOG_DIAMETER * np.log(diameter / 6.0)
    )
    return np.where(holds, by_fit, plain)


def consistent_rounds(
    *, diameter_min_mm: ArrayLike, diameter_max_mm: ArrayLike, depth_mm: ArrayLike, depth_pct: ArrayLike
) -> NDArray[np.bool_]:
    """
    Which rows of a list of rounds do not contradict themselves.

    A row falls out for a missing measure, a diameter above 12 mm or a depth above 8 mm,
    a depth in mm that differs from its depth in % by more than 1 point, or diameters that differ by over 3 %.
    It never looks at a weight, so weights may be checked on the rows that remain.

    Args:
        diameter_min_mm: Least diameters, mm; the two diameters may also stand in any order.
        diameter_max_mm: Greatest diameters, mm.
        depth_mm: Depths, mm.
        depth_pct: Depths in % as listed.

    Returns:
        True for each row that may be used.

    Source:
        plotnine-diamonds

    >>> consistent_rounds(
    ...     diameter_min_mm=[3.95, 0], diameter_max_mm=[3.98, 6.6], depth_mm=[2.43, 4], depth_pct=[61.5, 61]
    ... )
    array([ True, False])
    """
    one, other, depth, listed = (
        np.asarray(values, dtype=np.float64)
        for values in (diameter_min_mm, diameter_max_mm, depth_mm, depth_pct)
    )
    mean = np.where(one + other > 0, (one + other) / 2, 1.0)
    usable: NDArray[np.bool_] = (
        (one > 0)
        & (other > 0)
        & (depth > 0)
        & (one <= 12)
        & (other <= 12)
        & (depth <= 8)
        & (np.abs(100 * depth / mean - listed) <= 1.0)
        & (np.abs(one - other) / mean <= 0.03)
    )
    return usable
