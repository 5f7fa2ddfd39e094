"""
Refining many chains at once: from places on the grid to positions exact to the nanometre.

All chains of one batch have the same number of stones.
Unknown are each stone's place along the girdle and its float; the squared misses of the objective and, ever more
steeply, what breaks a hard limit are minimised together by damped Gauss-Newton steps.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from gemcalc.halo import objective
from gemcalc.halo.search import Sequence
from gemcalc.halo.sector import RowProblem

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

STEEPNESS = ((100.0, 8, 1e-5), (600.0, 6, 1e-5), (5e3, 8, 1e-6), (5e4, 12, 1e-9))
"""Weight of a broken limit per mm, steps taken with it, and the step (mm) below which it is settled."""
BATCH = 256
PRUNE_MARGIN = 0.02
SOUND_MM = 5e-6
"""A chain is taken as sound when no limit is broken by more than this."""


@dataclass(frozen=True)
class Chain:
    """One refined chain of a sector: sizes, places, floats, centres, cost of the sector, worst broken limit (mm)."""

    sequence: Sequence
    u: Floats
    floats: Floats
    x: Floats
    y: Floats
    cost: float
    broken: float


class _Batch:
    """The residuals of a batch of chains and their slopes."""

    def __init__(self, problem: RowProblem, sequences: list[Sequence]) -> None:
        self.problem = problem
        self.sizes = np.array([one.sizes for one in sequences])
        self.count, self.stones = self.sizes.shape
        self.radii = problem.radii[self.sizes]
        pins = np.array([one.pins for one in sequences])
        axes = () if problem.sector.cyclic else problem.sector.along
        rays = np.array([*axes, *problem.inner_rays, (0.0, 0.0)])
        self.pinned: Bools = pins >= 0
        self.ray = rays[pins]
        self.weight = np.ones(self.sizes.shape)
        self.open_ends: list[tuple[int, int, Bools]] = []
        if not problem.sector.cyclic:
            first, last = (np.array([one.on_axis[end] for one in sequences]) for end in (0, 1))
            self.weight[first, 0] = 0.5
            self.weight[last, -1] = 0.5
            self.open_ends = [(0, 0, ~first), (1, self.stones - 1, ~last)]
        diameters = problem.sizes[self.sizes]
        steps = np.diff(diameters, axis=1)
        if problem.sector.cyclic:
            steps = np.concatenate((steps, diameters[:, :1] - diameters[:, -1:]), axis=1)
        self.fixed = np.sum(objective.step_cost(steps), axis=1) + np.sum(
            self.weight * objective.size_cost(diameters, problem.wanted), axis=1
        )
        self.pairs = self.stones if problem.sector.cyclic else self.stones - 1
        self.pair_weight: Floats = np.ones((self.count, self.pairs), dtype=np.float64)

    def settle(self, u: Floats, floats: Floats) -> Floats:
        """Slide pinned stones back onto their rays."""
        if not self.pinned.any():
            return u
        u = u.copy()
        where, ray = u[self.pinned], self.ray[self.pinned]
        distance = (self.problem.clearance + self.radii + floats)[self.pinned]
        for _ in range(3):
            px, py, phi, sx, sy, sphi = self.problem.girdle.roll(where)
            nx, ny = np.cos(phi), np.sin(phi)
            miss = ray[:, 0] * (py + distance * ny) - ray[:, 1] * (px + distance * nx)
            slope = ray[:, 0] * (sy + distance * nx * sphi) - ray[:, 1] * (sx - distance * ny * sphi)
            safe = np.abs(slope) > 1e-6
            where = where - np.where(safe, miss / np.where(safe, slope, 1.0), 0.0)
        u[self.pinned] = where
        return u

    def centres(self, u: Floats, floats: Floats) -> tuple[Floats, ...]:
        """Centres, and their slopes by place and by float: x, y, xu, yu, xq, yq."""
        px, py, phi, sx, sy, sphi = self.problem.girdle.roll(u)
        nx, ny = np.cos(phi), np.sin(phi)
        distance = self.problem.clearance + self.radii + floats
        x, y = px + distance * nx, py + distance * ny
        xu, yu = sx - distance * ny * sphi, sy + distance * nx * sphi
        if not self.pinned.any():
            return x, y, xu, yu, nx, ny
        cross = self.ray[..., 0] * yu - self.ray[..., 1] * xu
        off = self.ray[..., 0] * ny - self.ray[..., 1] * nx
        along = np.where(np.abs(cross) > 1e-6, -off / np.where(np.abs(cross) > 1e-6, cross, 1.0), 0.0)
        along = np.where(self.pinned, along, 0.0)
        xq, yq = nx + xu * along, ny + yu * along
        free = ~self.pinned
        return x, y, xu * free, yu * free, xq, yq

    def residuals(self, u: Floats, floats: Floats, steep: float) -> tuple[Floats, Floats, Floats, Floats]:
        """Soft and hard misses (scaled) with their slopes: r, J, worst broken limit, soft cost."""
        problem, m = self.problem, self.stones
        x, y, xu, yu, xq, yq = self.centres(u, floats)
        soft_r: list[Floats] = []
        soft_j: list[Floats] = []
        hard_r: list[Floats] = []
        hard_j: list[Floats] = []
        eye = np.eye(m)

        i = np.arange(self.pairs)
        j = (i + 1) % m
        dx, dy = x[:, j] - x[:, i], y[:, j] - y[:, i]
        apart = np.maximum(np.hypot(dx, dy), 1e-9)
        ex, ey = dx / apart, dy / apart
        gap = apart - self.radii[:, i] - self.radii[:, j]
        slope = np.zeros((self.count, self.pairs, 2 * m))
        slope[:, i, i] -= ex * xu[:, i] + ey * yu[:, i]
        slope[:, i, j] += ex * xu[:, j] + ey * yu[:, j]
        slope[:, i, m + i] -= ex * xq[:, i] + ey * yq[:, i]
        slope[:, i, m + j] += ex * xq[:, j] + ey * yq[:, j]
        self._band(soft_r, soft_j, hard_r, hard_j, gap, slope, self.pair_weight)
        for end, k, is_open in self.open_ends:
            ax, ay = problem.sector.inward[end]
            gap = 2 * (ax * x[:, k] + ay * y[:, k] - self.radii[:, k])
            slope = np.zeros((self.count, 1, 2 * m))
            slope[:, 0, k] = 2 * (ax * xu[:, k] + ay * yu[:, k])
            slope[:, 0, m + k] = 2 * (ax * xq[:, k] + ay * yq[:, k])
            half = np.where(is_open, 0.5, 0.0)[:, None]
            self._band(soft_r, soft_j, hard_r, hard_j, gap[:, None], slope, half)

        root = np.sqrt(self.weight)
        by_float = np.concatenate((np.zeros((m, m)), eye), axis=1)
        soft_r.append(root * floats / objective.CLEARANCE_MM)
        soft_j.append(by_float * (root / objective.CLEARANCE_MM)[:, :, None])

        def by_centre(gx: Floats | float, gy: Floats | float) -> Floats:
            return np.concatenate(
                (eye * (gx * xu + gy * yu)[:, :, None], eye * (gx * xq + gy * yq)[:, :, None]), axis=2
            )

        if problem.target is not None:
            depth, gx, gy = problem.target.nearest(x, y)
            short = depth - self.radii
            slope = by_centre(gx, gy)
            soft_r.append(root * short / objective.TARGET_MM)
            soft_j.append(slope * (root / objective.TARGET_MM)[:, :, None])
            self._limit(
                hard_r, hard_j, short - np.clip(short, -problem.outside_max, problem.inside_max), slope
            )
        if not problem.sector.cyclic:
            for ax, ay in problem.sector.inward:
                off = np.minimum(0.0, ax * x + ay * y - self.radii - problem.gap_min / 2) * ~self.pinned
                if off.any():
                    self._limit(hard_r, hard_j, off, by_centre(ax, ay))
        near = problem.dented(u)
        if near.any():
            off, gx, gy = np.zeros_like(x), np.zeros_like(x), np.zeros_like(x)
            depth, gx[near], gy[near] = problem.girdle.nearest(x[near], y[near])
            off[near] = np.maximum(0.0, depth + problem.clearance + self.radii[near])
            off[off < 2e-8] = 0.0
            self._limit(hard_r, hard_j, off, by_centre(gx, gy))
        soft = np.concatenate(soft_r, axis=1)
        broken = np.zeros(self.count)
        hard = np.concatenate(hard_r, axis=1) if hard_r else np.zeros((self.count, 0))
        if hard.shape[1]:
            broken = np.max(np.abs(hard), axis=1)
        r = np.concatenate((soft, steep * hard), axis=1)
        jac = np.concatenate((*soft_j, *(steep * part for part in hard_j)), axis=1)
        return r, jac, broken, np.sum(soft * soft, axis=1)

    @staticmethod
    def _limit(hard_r: list[Floats], hard_j: list[Floats], off: Floats, slope: Floats) -> None:
        """Book the limits that some chain of the batch breaks by *off*; the others cost nothing."""
        active = np.nonzero((off != 0).any(axis=0))[0]
        if len(active):
            hard_r.append(off[:, active])
            hard_j.append(
                np.broadcast_to(slope, (len(off), *slope.shape[-2:]))[:, active]
                * (off[:, active] != 0)[:, :, None]
            )

    def _band(
        self,
        soft_r: list[Floats],
        soft_j: list[Floats],
        hard_r: list[Floats],
        hard_j: list[Floats],
        gap: Floats,
        slope: Floats,
        weight: Floats,
    ) -> None:
        root = np.sqrt(weight) / objective.GAP_MM
        soft_r.append(root * (gap - self.problem.gap_wanted))
        soft_j.append(slope * root[:, :, None])
        off = (gap - np.clip(gap, self.problem.gap_min, self.problem.gap_max)) * (weight > 0)
        self._limit(hard_r, hard_j, off, slope)


def _fresh(batch: _Batch, u: Floats, floats: Floats, steep: float) -> tuple[Floats, Floats, Floats]:
    r, jac, _, _ = batch.residuals(u, floats, steep)
    return r, jac, np.sum(r * r, axis=1)


def _steps(
    batch: _Batch, u: Floats, floats: Floats, steep: float, steps: int, exact: float
) -> tuple[Floats, Floats, Floats]:
    """Damped Gauss-Newton steps of every chain of the batch: places, floats and the cost with its penalties."""
    m = batch.stones
    damping = np.full(batch.count, 1e-4)
    stride = 0.15 * float(np.mean(batch.radii))
    diagonal = np.arange(2 * m)
    r, jac, cost = _fresh(batch, u, floats, steep)
    for _ in range(steps):
        # A float that already lies on its limit and would be driven beyond it stays where it is.
        down = np.einsum("nri,nr->ni", jac[:, :, m:], r)
        held = ((floats <= 0) & (down >= 0)) | ((floats >= batch.problem.float_max) & (down <= 0))
        transposed = jac.transpose(0, 2, 1).copy()
        transposed[:, m:][held] = 0.0
        normal = transposed @ transposed.transpose(0, 2, 1)
        size = normal[:, diagonal, diagonal]
        # A pinned stone has no place of its own to move to: its row must not be singular.
        normal[:, diagonal, diagonal] = size * (1 + damping[:, None]) + np.where(size == 0, 1.0, 1e-9)
        step = np.linalg.solve(normal, -(transposed @ r[:, :, None]))[:, :, 0]
        longest = np.max(np.abs(step), axis=1)
        step *= np.minimum(1.0, stride / np.maximum(longest, 1e-300))[:, None]
        new_floats = np.clip(floats + step[:, m:], 0.0, batch.problem.float_max)
        new_u = batch.settle(u + step[:, :m], new_floats)
        trial = float(np.max(longest)) >= exact
        new_r, new_jac, new_cost = _fresh(batch, new_u, new_floats, steep)
        better = new_cost <= cost * (1 + 1e-12)
        damping = np.where(better, np.maximum(damping * 0.1, 1e-9), np.minimum(damping * 30 + 1e-6, 1e3))
        u, floats = np.where(better[:, None], new_u, u), np.where(better[:, None], new_floats, floats)
        cost = np.where(better, new_cost, cost)
        if not trial:
            break
        if better.all():
            r, jac = new_r, new_jac
        else:
            r, jac, cost = _fresh(batch, u, floats, steep)
    return u, floats, cost


def _refine(problem: RowProblem, sequences: list[Sequence], limit: float) -> list[Chain]:
    """Refine chains of one length, dropping early those that cannot come below *limit*."""
    batch = _Batch(problem, sequences)
    u = np.array([one.u for one in sequences])
    floats = np.zeros_like(u)
    u = batch.settle(u, floats)
    for steep, steps, exact in STEEPNESS:
        u, floats, cost = _steps(batch, u, floats, steep, steps, exact)
        # The cost with penalties can only lie below that of the sound chain: what is above the limit stays there.
        keep = np.nonzero(cost + batch.fixed <= limit + PRUNE_MARGIN * abs(limit) + 1e-9)[0]
        if len(keep) < batch.count:
            if not len(keep):
                return []
            sequences = [sequences[i] for i in keep]
            batch, u, floats = _Batch(problem, sequences), u[keep], floats[keep]
    _, _, broken, soft = batch.residuals(u, floats, 1.0)
    x, y, *_ = batch.centres(u, floats)
    return [
        Chain(one, u[i], floats[i], x[i], y[i], float(soft[i] + batch.fixed[i]), float(broken[i]))
        for i, one in enumerate(sequences)
    ]


def polish(problem: RowProblem, sequences: list[Sequence], *, limit: float = math.inf) -> list[Chain]:
    """
    Refine *sequences* of any lengths.

    Args:
        problem: The row.
        sequences: What to refine.
        limit: Chains whose cost cannot come below it may be left out.

    Returns:
        The refined chains, cheapest first; chains that break a limit are among them, see :attr:`Chain.broken`.
    """
    chains: list[Chain] = []
    for stones in sorted({len(one.sizes) for one in sequences}):
        same = [one for one in sequences if len(one.sizes) == stones]
        for first in range(0, len(same), BATCH):
            chains += _refine(problem, same[first : first + BATCH], limit)
    return sorted(chains, key=lambda one: (one.cost, one.sequence.sizes, one.sequence.on_axis))
