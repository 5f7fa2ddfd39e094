"""
Where a fit begins, without knowing the cut: a smooth closed curve through most of the points,
and the scanner's own noise.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.scan.distances import Floats
from gemcalc.scan.families import Family

ORDER = 8
WINDOW = 15


@dataclass(frozen=True)
class Smooth:
    """A star-shaped curve round *centre* (mm): ``radius(angle)`` as a short sum of waves."""

    centre: Floats
    waves: Floats

    def radius(self, angle: Floats) -> Floats:
        """Distance from the centre to the curve along the ray at *angle* (rad), mm."""
        radius: Floats = _basis(angle) @ self.waves
        return radius

    def curve(self, count: int = 360) -> Floats:
        """Points of the curve, mm."""
        angle: Floats = np.arange(count, dtype=np.float64) * (2 * np.pi / count)
        radius = np.maximum(self.radius(angle), 1e-3)
        curve: Floats = self.centre + radius[:, None] * np.column_stack((np.cos(angle), np.sin(angle)))
        return curve


def _basis(angle: Floats) -> Floats:
    turns = angle[:, None] * np.arange(1, ORDER + 1)
    return np.hstack((np.ones((len(angle), 1)), np.cos(turns), np.sin(turns)))


def _weight(off: Floats, *, gentle: bool) -> Floats:
    """Weights of Cauchy, which let every point pull a little, or of the biweight, which drop the far ones."""
    if gentle:
        return 1 / (1 + off**2)
    weight: Floats = (1 - np.minimum((off / 4.685) ** 2, 1)) ** 2
    return weight


def _polar_fit(points: Floats, centre: Floats) -> Smooth:
    """
    Robust waves through the points seen from *centre*; an unseen stretch is bridged as smoothly as can be.
    """
    dx, dy = (points - centre).T
    reach = np.hypot(dx, dy)
    basis = _basis(np.arctan2(dy, dx))
    waves = np.arange(1, ORDER + 1, dtype=float)
    stiffness = np.concatenate(([0.0], waves**4, waves**4)) * 1e-4 * len(points)
    coefficients = np.zeros(2 * ORDER + 1)
    coefficients[0] = np.median(reach)
    scale = 0.15 * coefficients[0]
    for turn in range(14):
        off = reach - basis @ coefficients
        weight = _weight(off / scale, gentle=turn < 8)
        weighted = basis * weight[:, None]
        normal = weighted.T @ basis + np.diag(stiffness) + 1e-9 * np.eye(len(coefficients))
        coefficients = np.linalg.solve(normal, weighted.T @ reach)
        off = np.abs(reach - basis @ coefficients)
        scale = max(
            1.5 * float(np.median(off)), 1e-4 * float(coefficients[0]), 0.7 * scale if turn < 8 else 0.0
        )
    return Smooth(centre, coefficients)


def smooth_curve(points: Floats) -> Smooth:
    """
    A smooth closed curve through most of the points.

    Raises:
        BadInput: they do not surround an area.
    """
    centre = np.median(points, axis=0)
    near = np.hypot(*(points - centre).T)
    points = points[near <= 4 * np.median(near) + 1e-9]
    smooth = _polar_fit(points, centre)
    for _ in range(3):
        curve = smooth.curve()
        following = np.roll(curve, -1, axis=0)
        cross = curve[:, 0] * following[:, 1] - following[:, 0] * curve[:, 1]
        area = cross.sum()
        if not np.isfinite(area) or abs(area) < 1e-6:
            raise BadInput("these points do not go round a stone", field="points_mm")
        centre = ((curve + following) * cross[:, None]).sum(axis=0) / (3 * area)
        smooth = _polar_fit(points, centre)
    return smooth


def order_round(points: Floats, smooth: Smooth) -> Floats:
    """The points in order round the curve's centre, whatever order they came in."""
    dx, dy = (points - smooth.centre).T
    return points[np.argsort(np.arctan2(dy, dx), kind="stable")]


def own_noise(ordered: Floats, smooth: Smooth) -> float:
    """
    Noise of the points across the girdle, mm, with no outline supposed:
    what is left over from short robust parabolas.

    A wrong outline leaves more than this, which is how it is known to be wrong.
    Returns 0 where there are too few points to tell.
    """
    count = len(ordered)
    window = WINDOW if count >= 6 * WINDOW else 9
    if count < 5 * window:
        return 0.0
    dx, dy = (ordered - smooth.centre).T
    angle: Floats = np.arctan2(dy, dx)
    radius = smooth.radius(angle)
    rise = (smooth.radius(angle + 1e-4) - smooth.radius(angle - 1e-4)) / 2e-4
    off = (np.hypot(dx, dy) - radius) * np.abs(radius) / np.hypot(radius, rise)
    start = np.arange(0, count, max(1, window // 3))
    index = (start[:, None] + np.arange(window)) % count
    along = np.unwrap(angle[index], axis=1)
    along = along - along.mean(axis=1, keepdims=True)
    width = np.maximum(np.abs(along).max(axis=1, keepdims=True), 1e-9)
    along = along / width
    basis = np.stack((np.ones_like(along), along, along**2), axis=2)
    value = off[index]
    weight = np.ones_like(value)
    left = value
    for _ in range(5):
        weighted = basis * weight[..., None]
        normal = weighted.transpose(0, 2, 1) @ basis + 1e-9 * np.eye(3)
        found = np.linalg.solve(normal, weighted.transpose(0, 2, 1) @ value[..., None])
        left = value - (basis @ found)[..., 0]
        spread = np.maximum(1.4826 * np.median(np.abs(left), axis=1, keepdims=True), 1e-9)
        weight = (1 - np.minimum((left / (4.685 * spread)) ** 2, 1)) ** 2
    per_window = np.median(np.abs(left), axis=1)
    # Windows over a corner or full of outliers lie high: the middle window speaks for the scanner.
    return float(1.4826 * np.median(per_window) * np.sqrt(window / (window - 3)) * 1.03)


def starts(family: Family, smooth: Smooth) -> Floats:
    """
    Rows of unknowns to begin the fit of *family* from: sizes of the smooth curve, seen from several turns.
    """
    curve = smooth.curve()
    low, high = curve.min(axis=0), curve.max(axis=0)
    if not family.turns:
        return np.array([[*(low + high) / 2, 0.0, *family.start(*(high - low))]])
    spread = np.cov((curve - curve.mean(axis=0)).T)
    # The long axis, as a turn of the family's y direction.
    longest = np.linalg.eigh(spread)[1][:, 1]
    first = np.arctan2(-longest[0], longest[1])
    count = 4 if family.symmetry == 2 else 8
    rows = []
    for index in range(count):
        turn = first + index * (np.pi / 8 if family.symmetry == 2 else np.pi / 4)
        cos, sin = np.cos(turn), np.sin(turn)
        across = curve @ np.array([cos, sin])
        along = curve @ np.array([-sin, cos])
        length, width = float(np.ptp(along)), float(np.ptp(across))
        shape = family.keep(np.array([family.start(length, width)]))
        middle_across, middle_along = (across.max() + across.min()) / 2, (along.max() + along.min()) / 2
        middle_along = middle_along - float(family.middle(shape)[0])
        rows.append(
            [
                middle_across * cos - middle_along * sin,
                middle_across * sin + middle_along * cos,
                turn,
                *shape[0],
            ]
        )
    return np.array(rows)
