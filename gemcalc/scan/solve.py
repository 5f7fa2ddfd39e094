"""
Robust least squares of an outline's signed distances, many starts in one go.

Levenberg–Marquardt on Tukey's biweight: a point far off the outline has no pull at all,
so outliers of any size are survived.
With the usual constant the loss against plain least squares is 5 % of efficiency on clean points.
The scale of the biweight is lowered step by step,
so that a start some tenths of a millimetre off still finds its way.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gemcalc.scan.distances import Flags, Floats
from gemcalc.scan.families import Family

TUKEY = 4.685
"""Biweight constant for 95 % efficiency on normal errors (Holland and Welsch 1977). Source: biweight."""

BUMP_PRIOR_MM = 0.08
"""
A stone's girdle seldom strays further than this from its named outline;
it also keeps bumps apart from size and turn.
"""

STEP = 1e-5
PLACE = 3  # the first three unknowns: centre x, centre y, turn


@dataclass(frozen=True)
class Model:
    """
    A family, and how many waves round the girdle are laid over it.

    An unknown's row is (centre x mm, centre y mm, turn rad, the family's shape,
    then cos and sin amounts of waves 2, 3, … mm).
    """

    family: Family
    waves: int = 0

    @property
    def shape_end(self) -> int:
        return PLACE + len(self.family.names)

    @property
    def size(self) -> int:
        return self.shape_end + 2 * max(self.waves - 1, 0)

    @property
    def unknowns(self) -> int:
        """How many numbers are free."""
        return self.size - (0 if self.family.turns else 1)

    def keep(self, rows: Floats) -> Floats:
        """The nearest rows that are outlines of the family."""
        kept = rows.copy()
        kept[..., PLACE : self.shape_end] = self.family.keep(rows[..., PLACE : self.shape_end])
        return kept

    def own_frame(self, rows: Floats, points: Floats) -> tuple[Floats, Floats]:
        """The points in the stone's own frame, one line of coordinates for each row."""
        dx = points[:, 0] - rows[..., 0:1]
        dy = points[:, 1] - rows[..., 1:2]
        cos, sin = np.cos(rows[..., 2:3]), np.sin(rows[..., 2:3])
        return dx * cos + dy * sin, dy * cos - dx * sin

    def bump(self, rows: Floats, angle: Floats) -> Floats:
        """How far the waves lift the girdle outward along the ray at *angle*, mm."""
        lift = np.zeros_like(angle)
        for wave in range(2, self.waves + 1):
            at = self.shape_end + 2 * (wave - 2)
            lift += rows[..., at : at + 1] * np.cos(wave * angle) + rows[..., at + 1 : at + 2] * np.sin(
                wave * angle
            )
        return lift

    def distances(self, rows: Floats, points: Floats, *, lifted: float = 0.0) -> Floats:
        """
        Signed distances of the points from the outline of every row, mm;
        *lifted* raises every ray by as much more.
        """
        x, y = self.own_frame(rows, points)
        shape = rows[..., PLACE : self.shape_end]
        if self.waves < 2 and not lifted:
            return self.family.distance(shape, x, y)
        reach = np.maximum(np.hypot(x, y), 1e-9)
        share = 1 - (self.bump(rows, np.arctan2(y, x)) + lifted) / reach
        return self.family.distance(shape, x * share, y * share)

    def slopes(self, rows: Floats, points: Floats) -> tuple[Floats, Floats]:
        """Distances (starts, points) and their slopes by every unknown (starts, unknowns, points)."""
        count = self.shape_end
        moved = np.repeat(rows[:, None, :], count + 1, axis=1)
        index = np.arange(count)
        moved[:, index + 1, index] += STEP
        table = self.distances(moved.reshape(-1, rows.shape[1]), points).reshape(len(rows), count + 1, -1)
        here = table[:, 0]
        slope = np.zeros((len(rows), self.size, points.shape[0]))
        slope[:, :count] = (table[:, 1:] - here[:, None]) / STEP
        if self.waves >= 2:
            radial = (self.distances(rows, points, lifted=STEP) - here) / STEP
            x, y = self.own_frame(rows, points)
            angle = np.arctan2(y, x)
            for wave in range(2, self.waves + 1):
                at = count + 2 * (wave - 2)
                slope[:, at] = radial * np.cos(wave * angle)
                slope[:, at + 1] = radial * np.sin(wave * angle)
        return here, slope


def tukey_cost(distances: Floats, scale: float | Floats) -> Floats:
    """Sum of the biweight's ½e² with its ceiling, along the last axis, in units of the scale squared."""
    ratio = np.minimum((distances / (TUKEY * scale)) ** 2, 1.0)
    cost: Floats = (TUKEY**2 / 6) * (1 - (1 - ratio) ** 3).sum(axis=-1)
    return cost


def tukey_weight(distances: Floats, scale: float) -> Floats:
    """Weight of every point, from 1 on the outline to 0 beyond 4.685 scales."""
    return (1 - np.minimum((distances / (TUKEY * scale)) ** 2, 1.0)) ** 2


def _prior(model: Model, scale: float) -> Floats:
    prior = np.zeros(model.size)
    prior[model.shape_end :] = (scale / BUMP_PRIOR_MM) ** 2
    return prior


def _steps(normal: Floats, slope: Floats, damping: Floats, frozen: Flags) -> Floats:
    """Solutions of the damped normal equations; a frozen unknown does not move."""
    free = ~frozen
    system = normal * (free[:, :, None] & free[:, None, :])
    diagonal: Floats = np.einsum("sii->si", system)
    diagonal[...] = diagonal * (1 + damping[:, None]) + 1e-9
    diagonal[frozen] = 1.0
    return np.asarray(
        np.linalg.solve(system, np.where(free, -slope, 0.0)[..., None])[..., 0], dtype=np.float64
    )


def settle(model: Model, rows: Floats, points: Floats, scales: Sequence[tuple[float, int]]) -> Floats:
    """
    Rows moved to the nearest minimum of the biweight cost.

    Args:
        model: The outline to fit.
        rows: One row of unknowns per start.
        points: Measured points, mm.
        scales: Pairs (scale in mm, most iterations) from coarse to fine.

    Returns:
        As many rows, each at its own minimum for the last scale.
    """
    rows = model.keep(np.array(rows, dtype=float))
    for scale, most in scales:
        prior = _prior(model, scale)
        damping = np.full(len(rows), 1e-3)
        here, slope = model.slopes(rows, points)
        cost = tukey_cost(here, scale) + 0.5 * (prior * rows**2).sum(axis=1) / scale**2
        for _ in range(most):
            weight = tukey_weight(here, scale)
            weighted = slope * weight[:, None, :]
            normal = weighted @ slope.transpose(0, 2, 1)
            normal[:, range(model.size), range(model.size)] += prior
            downhill = (weighted @ here[..., None])[..., 0] + prior * rows
            dead = np.einsum("sii->si", normal) < 1e-9
            step = _steps(normal, downhill, damping, dead)
            trial = model.keep(rows + step)
            # An unknown already at its bound and pushed against it is taken out,
            # so that the others may still move.
            stuck = (np.abs(trial - rows) < 1e-12) & (np.abs(step) > 1e-12)
            if stuck.any():
                step = _steps(normal, downhill, damping, dead | stuck)
                trial = model.keep(rows + step)
            reached = model.distances(trial, points)
            new_cost = tukey_cost(reached, scale) + 0.5 * (prior * trial**2).sum(axis=1) / scale**2
            better = new_cost < cost
            gained = cost - new_cost
            rows = np.where(better[:, None], trial, rows)
            damping = np.where(better, damping / 6, damping * 5)
            if not better.any():
                if damping.min() > 1e3 or np.abs(step).max() < 1e-7:
                    break
                continue
            if np.where(better, gained, 0).max() < 1e-7 * (1 + cost.min()):
                break
            cost = np.where(better, new_cost, cost)
            here, slope = model.slopes(rows, points)
    return rows


def covariance(model: Model, row: Floats, points: Floats, *, noise_mm: float) -> Floats:
    """
    Covariance of the unknowns, mm and rad, for errors independent from point to point.

    The biweight's own loss of efficiency (5 %) is included;
    an unknown that the points do not determine
    has variance 0 where it is not free, and a very large one where it is.
    """
    here, slope = model.slopes(row[None], points)
    weight = tukey_weight(here[0], noise_mm) > 0
    normal = (slope[0] * weight) @ slope[0].T
    normal[range(model.size), range(model.size)] += _prior(model, noise_mm)
    frozen = np.diag(normal) < 1e-9
    frozen[PLACE:] = False
    free = np.flatnonzero(~frozen)
    result = np.zeros((model.size, model.size))
    result[np.ix_(free, free)] = np.linalg.pinv(normal[np.ix_(free, free)], hermitian=True)
    return result * noise_mm**2 / 0.95
