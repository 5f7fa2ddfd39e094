"""What points a girdle can be fitted to, and when a fit is not sure enough to be shown."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike

from gemcalc.errors import BadInput
from gemcalc.scan.distances import Floats

FEWEST_POINTS = 24
MOST_POINTS = 100_000
LEAST_ACROSS_MM = 0.5
MOST_ACROSS_MM = 60.0
MOST_MISSING = 0.30
"""
Share of the girdle that may be unseen: with a quarter missing every outline is still found,
with 40 % some are not.
"""

MOST_OUTLIERS = 0.25


def as_points(points_mm: ArrayLike) -> Floats:
    """
    The points as an array (count, 2), mm.

    Raises:
        BadInput: they are no pairs of finite numbers, or too many.
    """
    try:
        points = np.asarray(points_mm, dtype=float)
    except (TypeError, ValueError, OverflowError):
        raise BadInput("must be a list of [x, y] pairs of numbers", field="points_mm") from None
    points = points.reshape(-1, 2) if points.size == 0 else points
    if points.ndim != 2 or points.shape[1] != 2:
        raise BadInput("must be a list of [x, y] pairs of numbers", field="points_mm")
    if len(points) > MOST_POINTS:
        raise BadInput(f"has {len(points)} points: at most {MOST_POINTS:,} can be taken", field="points_mm")
    if not np.isfinite(points).all():
        raise BadInput("has a point that is not a finite number", field="points_mm")
    if np.abs(points).max(initial=0) > 1e5:
        raise BadInput("has a point more than 100 m away: are the units millimetres?", field="points_mm")
    return points


def usable_points(points: Floats) -> Floats:
    """
    The different points among *points*, mm.

    Raises:
        BadInput: they are too few, or of a size that no stone has.
    """
    usable = np.unique(points, axis=0)
    if len(usable) < FEWEST_POINTS:
        raise BadInput(
            f"has {len(usable)} different points: at least {FEWEST_POINTS} are needed for a girdle",
            field="points_mm",
        )
    across = 2 * float(np.median(np.hypot(*(usable - np.median(usable, axis=0)).T)))
    if not LEAST_ACROSS_MM <= across <= MOST_ACROSS_MM:
        raise BadInput(
            f"lie about {across:.3g} mm across, and a stone is 0.5 to 60 mm: are the units millimetres?",
            field="points_mm",
        )
    return usable


def coverage(points: Floats, ring: Floats) -> tuple[float, float]:
    """Share of the outline with points on it, and the share of its widest hole."""
    following = np.roll(ring, -1, axis=0) - ring
    lengths = np.hypot(following[:, 0], following[:, 1])
    start = np.concatenate(([0.0], np.cumsum(lengths)))
    # The nearest of finely spaced points of the outline gives each measured point its place along it.
    fine = np.linspace(0, start[-1], 1440, endpoint=False)
    closed = np.vstack((ring, ring[:1]))
    spots = np.column_stack((np.interp(fine, start, closed[:, 0]), np.interp(fine, start, closed[:, 1])))
    places = []
    for chunk in np.array_split(points, max(1, len(points) // 2000)):
        apart = (spots**2).sum(axis=1)[None] - 2 * chunk @ spots.T
        places.append(fine[np.argmin(apart, axis=1)])
    place = np.sort(np.concatenate(places)) / start[-1]
    gaps = np.diff(place, append=place[0] + 1)
    usual = 1 / len(place)
    holes = gaps[gaps > max(0.03, 6 * usual)] - usual
    return float(1 - holes.sum()), float(holes.max(initial=0.0))


def refuse_unsure(*, seen: float, outlier_share: float, length_sd: float, length: float) -> None:
    """
    Let a fit pass only when it is sure.

    Args:
        seen: Share of the girdle's length with points on it, 0 to 1.
        outlier_share: Share of the points that lie off the outline, 0 to 1.
        length_sd: One standard deviation of the length, mm.
        length: The length, mm.

    Raises:
        BadInput: too little of the girdle is seen, too many points lie off it, or the size is open.
    """
    degrees = f"{360 * seen:.0f}° of 360° of the girdle is seen"
    if 1 - seen > MOST_MISSING:
        raise BadInput(
            f"leave too much of the girdle unseen for a sure outline ({degrees}, "
            f"at least {360 * (1 - MOST_MISSING):.0f}° is needed): scan the missing side too",
            field="points_mm",
        )
    if outlier_share > MOST_OUTLIERS:
        raise BadInput(
            f"lie off any one outline too often ({100 * outlier_share:.0f} % of them; {degrees}): "
            "clean the stone or the scan and take it again",
            field="points_mm",
        )
    if length_sd > max(0.05, 0.01 * length):
        raise BadInput(
            f"do not settle the size: the length is sure only to ±{2 * length_sd:.2f} mm ({degrees})",
            field="points_mm",
        )
