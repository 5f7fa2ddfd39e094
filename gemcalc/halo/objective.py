"""
What makes one sound layout better than another, written once: search, refinement and figures all use it.

The cost is the sum over the whole chain of squared misses, each in units of what a setter's eye forgives:
neighbour gaps off the wanted gap by 0.02 mm, a size step of 0.10 mm, a stone 0.03 mm off the centre,
0.04 mm off the target outline, 0.05 mm off the wanted diameter.
All lengths mm; the cost is a pure number.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]

GAP_MM = 0.02
STEP_MM = 0.10
CLEARANCE_MM = 0.03
TARGET_MM = 0.04
SIZE_MM = 0.05
"""Misses that cost one point each. Source: practice."""


def gap_cost(miss: Floats) -> Floats:
    """Cost of gaps that miss the wanted gap by *miss* mm."""
    return np.square(miss / GAP_MM)


def step_cost(step: Floats) -> Floats:
    """Cost of neighbours that differ by *step* mm in diameter."""
    return np.square(step / STEP_MM)


def float_cost(float_mm: Floats, off_target: Floats | None) -> Floats:
    """Cost of stones *float_mm* beyond the clearance and, with a target, *off_target* mm off its outline."""
    cost = np.square(float_mm / CLEARANCE_MM)
    return cost if off_target is None else cost + np.square(off_target / TARGET_MM)


def size_cost(diameters: Floats, wanted_mm: float | None) -> Floats:
    """Cost of *diameters* off the wanted one; nought where none is wanted."""
    if wanted_mm is None:
        return np.zeros_like(diameters)
    return np.square((diameters - wanted_mm) / SIZE_MM)


def chain_cost(
    *,
    gaps: Floats,
    diameters: Floats,
    floats: Floats,
    off_target: Floats | None,
    gap_wanted: float,
    wanted: float | None,
) -> float:
    """
    Cost of one closed chain.

    Args:
        gaps: Gap after each stone to the next, mm; same length as the rest.
        diameters: Diameter of each stone in order, mm.
        floats: Distance of each stone beyond the clearance, mm.
        off_target: Distance of each stone from the target outline, mm; None without a target or on an inner row.
        gap_wanted: The wanted gap, mm.
        wanted: The wanted diameter, mm, or None.
    """
    pairs = gap_cost(gaps - gap_wanted) + step_cost(np.roll(diameters, -1) - diameters)
    stones = float_cost(floats, off_target) + size_cost(diameters, wanted)
    return float(np.sum(pairs) + np.sum(stones))
