"""
A model laid over the stone: the gap between a girdle and the opening that was drawn for it.

The opening (the inner edge of a modelled halo or seat) and the girdle are closed outlines in mm.
The gap is measured from every point of the girdle to the nearest point of the opening;
it is negative where the stone reaches over the opening's edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import ArrayLike

from gemcalc.errors import BadInput, in_range
from gemcalc.scan.checks import MOST_ACROSS_MM
from gemcalc.scan.distances import Floats

PLACES = 720
MOST_EDGES = 4000


@dataclass(frozen=True, kw_only=True)
class Gap:
    """
    The gap all round between a girdle and an opening, mm, one position in each array per place on the girdle.

    Args:
        angle_deg: Direction of the place from the middle of the girdle,
            degrees anticlockwise from +x, rising.
        gap_mm: Distance to the opening, negative where the stone overlaps it.
        girdle_mm: The places on the girdle (places, 2), moved if the stone was aligned.
        foot_mm: The nearest points of the opening (places, 2).
        least_mm: Least gap, *least_at_deg* where.
        greatest_mm: Greatest gap, *greatest_at_deg* where.
        mean_mm: Mean along the girdle's length.
        below_share: Share of the girdle's length with a gap below the wanted clearance, 0 to 1.
        overlap_share: Share of the girdle's length that overlaps the opening, 0 to 1.
        shift_mm: How far the girdle was moved to align it.
        turn_deg: How far it was turned about its middle, anticlockwise.
    """

    angle_deg: Floats
    gap_mm: Floats
    girdle_mm: Floats
    foot_mm: Floats
    least_mm: float
    least_at_deg: float
    greatest_mm: float
    greatest_at_deg: float
    mean_mm: float
    below_share: float
    overlap_share: float
    shift_mm: tuple[float, float]
    turn_deg: float


def _closed(points: ArrayLike, *, field: str) -> Floats:
    try:
        outline = np.asarray(points, dtype=np.float64)
    except (TypeError, ValueError, OverflowError):
        raise BadInput("must be a list of [x, y] pairs of numbers", field=field) from None
    if outline.ndim != 2 or outline.shape[1] != 2 or not np.isfinite(outline).all():
        raise BadInput("must be a list of [x, y] pairs of finite numbers", field=field)
    if len(outline) and np.array_equal(outline[0], outline[-1]):
        outline = outline[:-1]
    if not 3 <= len(outline) <= MOST_EDGES:
        raise BadInput(f"needs 3 to {MOST_EDGES} points in order, and has {len(outline)}", field=field)
    extent = float(np.ptp(outline, axis=0).max())
    if not 0.3 <= extent <= 2 * MOST_ACROSS_MM or np.abs(outline).max() > 1e5:
        raise BadInput(f"is {extent:.3g} mm across, which no stone is: check the units", field=field)
    return outline


def _evenly(outline: Floats) -> Floats:
    """Places at equal steps along a closed outline."""
    closed = np.vstack((outline, outline[:1]))
    place = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))))
    wanted = np.linspace(0, place[-1], PLACES, endpoint=False)
    return np.column_stack((np.interp(wanted, place, closed[:, 0]), np.interp(wanted, place, closed[:, 1])))


class _Opening:
    """The opening's polygon with its edges in a tree, so that the nearest is found without trying all."""

    def __init__(self, corners: Floats) -> None:
        self.shape = shapely.Polygon(corners)
        if not self.shape.is_valid:
            raise BadInput("crosses itself: its points must go round once, in order", field="opening_mm")
        shapely.prepare(self.shape)
        self.start, self.step = corners, np.roll(corners, -1, axis=0) - corners
        self.length_squared = np.maximum((self.step**2).sum(axis=1), 1e-300)
        ends = np.stack((corners, corners + self.step), axis=1)
        self.edges = shapely.STRtree(shapely.linestrings(ends))
        self.middle = _evenly(corners).mean(axis=0)

    def gaps(self, points: Floats) -> tuple[Floats, Floats]:
        """Gaps of the points to the opening's edge, positive inside, and the nearest points of the edge."""
        spots = shapely.points(points)
        nearest = self.edges.nearest(spots)
        start, step = self.start[nearest], self.step[nearest]
        along = np.clip(((points - start) * step).sum(axis=1) / self.length_squared[nearest], 0, 1)
        feet: Floats = start + along[:, None] * step
        apart = np.hypot(*(points - feet).T)
        return np.where(shapely.contains(self.shape, spots), apart, -apart), feet


def _moved(points: Floats, middle: Floats, move: Floats) -> Floats:
    cos, sin = np.cos(move[2]), np.sin(move[2])
    return np.asarray(
        (points - middle) @ np.array([[cos, sin], [-sin, cos]]) + middle + move[:2], dtype=np.float64
    )


def _aligned(points: Floats, opening: _Opening) -> Floats:
    """Shift (mm) and turn (rad) that make the gap as even as can be, by least squares."""
    middle = points.mean(axis=0)
    move = np.zeros(3)
    move[:2] = opening.middle - middle
    gap, feet = opening.gaps(_moved(points, middle, move))
    damping = 1e-6
    for _ in range(25):
        now = _moved(points, middle, move)
        away = (now - feet) / np.where(np.abs(gap) < 1e-12, 1.0, gap)[:, None]
        arm = now - middle - move[:2]
        # The gap answers to a shift by its own direction, to a turn by that direction's moment.
        slope = np.column_stack((away, arm[:, 0] * away[:, 1] - arm[:, 1] * away[:, 0]))
        slope = slope - slope.mean(axis=0)
        normal = slope.T @ slope
        normal += np.diag(np.diag(normal)) * damping + 1e-9 * np.eye(3)
        step = np.linalg.solve(normal, -slope.T @ (gap - gap.mean()))
        step[2] = np.clip(step[2], -0.1, 0.1)
        new_gap, new_feet = opening.gaps(_moved(points, middle, move + step))
        if np.var(new_gap) < np.var(gap):
            move, gap, feet, damping = move + step, new_gap, new_feet, damping / 5
        else:
            damping = max(damping * 20, 1e-3)
        if np.abs(step).max() < 1e-7 or damping > 1e8:
            break
    return move


def gap_round(
    *, girdle_mm: ArrayLike, opening_mm: ArrayLike, wanted_mm: float = 0.05, align: bool = False
) -> Gap:
    """
    The gap all round between a stone's girdle and the opening modelled for it.

    Args:
        girdle_mm: The girdle's outline in order, mm, 3 to 4000 points.
        opening_mm: The opening's outline in order, mm, 3 to 4000 points.
        wanted_mm: The clearance that is wanted, mm, 0 to 5.
        align: Move and turn the girdle so that the gap is as even as can be (least squares of its variation);
            False where both stand in one frame already.

    Returns:
        The gap at 720 places of equal step, with its least, greatest and mean. Exact for the two polygons.

    Raises:
        BadInput: an outline is no closed outline of a stone's size, or the opening crosses itself.
        OutOfRange: *wanted_mm* is not from 0 to 5.

    Source:
        exact-geometry

    >>> import numpy as np
    >>> turn = np.arange(400) * 2 * np.pi / 400
    >>> ring = np.column_stack((np.cos(turn), np.sin(turn)))
    >>> gap = gap_round(girdle_mm=3 * ring, opening_mm=3.1 * ring + [0.02, 0])
    >>> round(gap.least_mm, 3), round(gap.greatest_mm, 3)
    (0.08, 0.12)
    """
    in_range(field="wanted_mm", value=wanted_mm, low=0, high=5)
    girdle, opening = _closed(girdle_mm, field="girdle_mm"), _closed(opening_mm, field="opening_mm")
    edges = _Opening(opening)
    points = _evenly(girdle)
    middle = points.mean(axis=0)
    move = _aligned(points, edges) if align else np.zeros(3)
    points = _moved(points, middle, move)
    gap, feet = edges.gaps(points)
    centre = middle + move[:2]
    angle = np.degrees(np.arctan2(*(points - centre).T[::-1])) % 360
    order = np.argsort(angle, kind="stable")
    angle, gap, points, feet = angle[order], gap[order], points[order], feet[order]
    least, greatest = int(np.argmin(gap)), int(np.argmax(gap))
    return Gap(
        angle_deg=angle,
        gap_mm=gap,
        girdle_mm=points,
        foot_mm=feet,
        least_mm=float(gap[least]),
        least_at_deg=float(angle[least]),
        greatest_mm=float(gap[greatest]),
        greatest_at_deg=float(angle[greatest]),
        mean_mm=float(gap.mean()),
        below_share=float((gap < wanted_mm - 1e-9).mean()),
        overlap_share=float((gap < -1e-9).mean()),
        shift_mm=(float(move[0]), float(move[1])),
        turn_deg=float(np.degrees(move[2])),
    )
