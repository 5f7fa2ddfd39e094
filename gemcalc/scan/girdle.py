"""
A fitted outline as points, and the figures read off it: extents,
diameters between parallel tangents, round and area.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gemcalc.scan.distances import Floats, Whole
from gemcalc.scan.solve import PLACE, Model

FLATNESS_MM = 0.0001
MOST_POINTS = 720


@dataclass(frozen=True, kw_only=True)
class Figures:
    """Measures of a closed outline in the stone's own frame, mm and mm²."""

    length_mm: float
    width_mm: float
    diameter_min_mm: float
    diameter_max_mm: float
    perimeter_mm: float
    area_mm2: float


def corners(model: Model, row: Floats) -> Floats:
    """Angles (rad) in the stone's own frame at which its outline has a point or a corner."""
    shape = row[PLACE : model.shape_end]
    name = model.family.name
    if name in ("marquise",):
        return np.array([np.pi / 2, -np.pi / 2])
    if name == "pear":
        return np.array([np.pi / 2])
    if name == "heart":
        return np.array([np.pi / 2, -np.pi / 2])
    if name == "princess":
        at = np.arctan2(shape[0], shape[1])
        return np.array([at, np.pi - at, -at, at - np.pi])
    if name == "emerald":
        half_length, half_width, cut = shape[0] / 2, shape[1] / 2, shape[2]
        low, high = np.arctan2(half_length - cut, half_width), np.arctan2(half_length, half_width - cut)
        return np.array([sign * at + turn for at in (low, high) for sign in (1, -1) for turn in (0, np.pi)])
    return np.empty(0)


def radii(model: Model, rows: Floats, angle: Floats) -> Floats:
    """
    Distance from the stone's own origin to the outline of every row along the rays at *angle* (rad), mm.
    """
    cos, sin = np.cos(angle), np.sin(angle)
    shape = rows[..., PLACE : model.shape_end]

    def off(reach: Floats) -> Floats:
        return model.family.distance(shape, reach * cos, reach * sin)

    # False position with the bracket kept: sure for every outline,
    # and quick because distance along a ray is nearly straight.
    largest = float(np.abs(shape[..., : min(2, shape.shape[-1])]).max())
    high = np.full((len(rows), len(angle)), 1.6 * largest)
    low = np.full_like(high, 1e-3 * largest)
    off_low, off_high = off(low), off(high)
    for turn in range(60):
        middle = np.where(turn % 2, (low + high) / 2, low - off_low * (high - low) / (off_high - off_low))
        middle = np.clip(middle, low, high)
        value = off(middle)
        inside = value <= 0
        low, off_low = np.where(inside, middle, low), np.where(inside, value, off_low)
        high, off_high = np.where(inside, high, middle), np.where(inside, off_high, value)
        if np.abs(value).max() < 1e-10:
            break
        flat = off_high - off_low < 1e-13
        off_high = np.where(flat, off_low + 1e-13, off_high)
    reach: Floats = middle + model.bump(rows, np.broadcast_to(angle, middle.shape))
    return reach


def _thinned(points: Floats, sharp: Whole) -> Whole:
    """
    Positions of the points to keep so that straight lines between them stay within the flatness of the curve.
    """
    step = np.roll(points, -1, axis=0) - points
    length = np.hypot(step[:, 0], step[:, 1])
    heading = np.arctan2(step[:, 1], step[:, 0])
    turned = np.abs((heading - np.roll(heading, 1) + np.pi) % (2 * np.pi) - np.pi)
    turned[sharp] = 0
    perimeter = length.sum()
    for flatness in (FLATNESS_MM, 2 * FLATNESS_MM, 4 * FLATNESS_MM, 8 * FLATNESS_MM):
        bend = np.sqrt(np.maximum(turned, np.roll(turned, -1)) * length / (8 * flatness))
        pace = np.maximum(bend, length / (perimeter / 200))
        passed = np.concatenate(([0.0], np.cumsum(pace)[:-1]))
        kept = np.unique(
            np.concatenate((np.flatnonzero(np.diff(np.floor(passed), prepend=-1.0) >= 1), sharp))
        )
        if len(kept) <= MOST_POINTS:
            return kept
    return kept[:: int(np.ceil(len(kept) / MOST_POINTS))]


def fine_outline(model: Model, row: Floats) -> tuple[Floats, Whole]:
    """
    Points of the outline in the stone's own frame, mm, a sixteenth of a degree apart,
    and which are to be kept.
    """
    fine = np.arange(5760) * (2 * np.pi / 5760)
    at = np.mod(corners(model, row), 2 * np.pi)
    angle: Floats = np.unique(np.concatenate((fine, at)))
    sharp: Whole = np.flatnonzero(np.isin(angle, at))
    reach = radii(model, row[None], angle)[0]
    own: Floats = reach[:, None] * np.column_stack((np.cos(angle), np.sin(angle)))
    return own, _thinned(own, sharp)


def outline(model: Model, row: Floats) -> Floats:
    """
    Points of the fitted outline in the frame of the scan, anticlockwise, mm; the last joins the first.

    They lie on the curve, denser where it bends, and straight lines between them stay within 1 µm of it.
    """
    own, kept = fine_outline(model, row)
    return into_scan(row, own[kept])


def into_scan(row: Floats, own: Floats) -> Floats:
    """Points of the stone's own frame in the frame of the scan, mm."""
    cos, sin = np.cos(row[2]), np.sin(row[2])
    placed: Floats = row[:2] + own @ np.array([[cos, sin], [-sin, cos]])
    return placed


def into_own(row: Floats, points: Floats) -> Floats:
    """Points of the scan's frame in the stone's own frame, mm."""
    cos, sin = np.cos(row[2]), np.sin(row[2])
    own: Floats = (points - row[:2]) @ np.array([[cos, -sin], [sin, cos]])
    return own


def _convex(points: Floats) -> Floats:
    """The corners of the points' convex hull, in order; the points themselves where they have no dent."""
    step = np.roll(points, -1, axis=0) - points
    before = np.roll(step, 1, axis=0)
    if (before[:, 0] * step[:, 1] - before[:, 1] * step[:, 0] >= -1e-12).all():
        return points
    import shapely

    hull = shapely.convex_hull(shapely.MultiPoint(points))
    return np.asarray(shapely.get_coordinates(hull)[:-1], dtype=np.float64)


def figures(own: Floats, kept: Whole | None = None) -> Figures:
    """
    Measures of the closed polygon *own* (mm, own frame, y along the length);
    diameters from *kept* of its points.
    """
    following = np.roll(own, -1, axis=0)
    step = following - own
    cross = own[:, 0] * following[:, 1] - following[:, 0] * own[:, 1]
    # The least width stands square to an edge of the hull, the greatest joins two corners:
    # rotating callipers at once.
    hull = _convex(own if kept is None else own[kept])
    edge = np.roll(hull, -1, axis=0) - hull
    long = np.hypot(edge[:, 0], edge[:, 1])
    edge, long = edge[long > 1e-9], long[long > 1e-9]
    reach = (np.column_stack((edge[:, 1], -edge[:, 0])) / long[:, None]) @ hull.T
    squares = (hull**2).sum(axis=1)
    apart = squares[:, None] + squares[None, :] - 2 * (hull @ hull.T)
    return Figures(
        length_mm=float(np.ptp(own[:, 1])),
        width_mm=float(np.ptp(own[:, 0])),
        diameter_min_mm=float((reach.max(axis=1) - reach.min(axis=1)).min()),
        diameter_max_mm=float(np.sqrt(max(float(apart.max()), 0.0))),
        perimeter_mm=float(np.hypot(step[:, 0], step[:, 1]).sum()),
        area_mm2=float(abs(cross.sum()) / 2),
    )


def figure_slopes(model: Model, row: Floats) -> dict[str, Floats]:
    """How every figure answers to a small change of every unknown of the fit, mm (mm²) per mm or rad."""
    step = 1e-4

    def measured(unknowns: Floats) -> Figures:
        # Each row has its own corners: a corner missed by a hair would show as a change of the figure.
        at = np.mod(corners(model, unknowns), 2 * np.pi)
        angle = np.unique(np.concatenate((np.arange(480) * (2 * np.pi / 480), at)))
        reach = radii(model, unknowns[None], angle)[0]
        return figures(reach[:, None] * np.column_stack((np.cos(angle), np.sin(angle))))

    here = measured(row)
    slopes = {name: np.zeros(model.size) for name in Figures.__dataclass_fields__}
    for index in range(PLACE, model.size):
        moved = row.copy()
        moved[index] += step
        there = measured(moved)
        for name, slope in slopes.items():
            slope[index] = (getattr(there, name) - getattr(here, name)) / step
    return slopes
