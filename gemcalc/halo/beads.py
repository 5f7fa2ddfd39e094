"""Gap beads: the small grains of metal that hold two neighbouring stones from outside."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt

from gemcalc.halo.outline import Girdle

Floats = npt.NDArray[np.float64]

SHARE = 0.25
"""Bead radius as a share of the smaller stone's: flush with the outer edge of two touching equal stones.
Source: exact-geometry."""
LEAST_MM = 0.03
APART_MM = 0.002
"""A bead keeps at least this from every stone that it does not hold, mm."""


def _against(
    ax: float, ay: float, ar: float, bx: float, by: float, br: float, bead: float
) -> tuple[float, float] | None:
    """Centre of a bead that touches both stones, on the right of the way from the first to the second."""
    apart = math.hypot(bx - ax, by - ay)
    from_a, from_b = ar + bead, br + bead
    along = (apart**2 + from_a**2 - from_b**2) / (2 * apart)
    rest = from_a**2 - along**2
    if rest <= 0:
        return None
    ux, uy = (bx - ax) / apart, (by - ay) / apart
    side = math.sqrt(rest)
    return ax + along * ux + side * uy, ay + along * uy - side * ux


def beads(*, centre: Girdle, rows: list[tuple[Floats, Floats, Floats]]) -> list[tuple[float, float, float]]:
    """
    Beads for all gaps of all rows where one fits: x, y and radius, mm.

    Args:
        centre: The centre stone.
        rows: For each row its stones in order anticlockwise: x, y, radius.

    Returns:
        At most one bead a gap, on its outer side, touching its two stones and nothing else.
    """
    all_x, all_y, all_r = (np.concatenate([row[i] for row in rows]) for i in range(3))
    found: list[tuple[float, float, float]] = []
    start = 0
    for x, y, r in rows:
        count = len(x)
        for i in range(count):
            j = (i + 1) % count
            radius = SHARE * float(min(r[i], r[j]))
            others = np.ones(len(all_x), dtype=np.bool_)
            others[[start + i, start + j]] = False
            while radius >= LEAST_MM:
                spot = _against(
                    float(x[i]), float(y[i]), float(r[i]), float(x[j]), float(y[j]), float(r[j]), radius
                )
                if spot is None:
                    break
                away = np.hypot(all_x - spot[0], all_y - spot[1]) - all_r
                off = -float(centre.nearest(np.array([spot[0]]), np.array([spot[1]]))[0][0])
                if (
                    float(np.min(away[others], initial=math.inf)) > radius + APART_MM
                    and off > radius + APART_MM
                ):
                    found.append((*spot, radius))
                    break
                radius *= 0.8
        start += count
    return found
