"""
What a batch of chains misses, and how the misses change: the normal equations of the refinement.

Every miss belongs to one stone or to two neighbours, so the equations are kept as their few diagonals: a stone
with itself, and a stone with the next.

Source: exact-geometry.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from gemcalc.halo import objective
from gemcalc.halo.search import Sequence
from gemcalc.halo.sector import RowProblem

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

SOFT_GAP = 1 / objective.GAP_MM**2
SOFT_FLOAT = 1 / objective.CLEARANCE_MM**2
SOFT_TARGET = 1 / objective.TARGET_MM**2


@dataclass
class Normal:
    """
    The normal equations of a batch at one point.

    Args:
        own: Of each stone with itself: place with place, place with float, float with float.
        next: Of each stone with the next: place-place, place-float, float-place, float-float.
        slope: Half the slope of the cost, places first, then floats.
        cost: Squared misses with their penalties, by chain.
        soft: Squared misses alone.
        broken: The worst broken limit, mm.
        cyclic: Whether the last stone's next is the first.
    """

    own: list[Floats]
    next: list[Floats]
    slope: Floats
    cost: Floats
    soft: Floats
    broken: Floats
    cyclic: bool

    def matrix(self) -> Floats:
        """The equations as full matrices, one for each chain."""
        count, m = self.own[0].shape
        width = self.slope.shape[1]
        full = np.zeros((count, width, width))
        i = np.arange(m)
        pairs = self.next[0].shape[1]
        a = np.arange(pairs)
        b = (a + 1) % m
        full[:, i, i] = self.own[0]
        # Two stones that make a whole loop are each other's next twice: hence added, not set.
        full[:, a, b] += self.next[0]
        full[:, b, a] += self.next[0]
        if width > m:
            full[:, i, m + i] = self.own[1]
            full[:, m + i, i] = self.own[1]
            full[:, m + i, m + i] = self.own[2]
            full[:, a, m + b] += self.next[1]
            full[:, m + b, a] += self.next[1]
            full[:, m + a, b] += self.next[2]
            full[:, b, m + a] += self.next[2]
            full[:, m + a, m + b] += self.next[3]
            full[:, m + b, m + a] += self.next[3]
        return full

    def where(self, better: Bools, other: Normal) -> Normal:
        """These equations for the chains that are *better*, the *other* ones for the rest."""
        wide = better[:, None]
        return Normal(
            [np.where(wide, one, two) for one, two in zip(self.own, other.own, strict=True)],
            [np.where(wide, one, two) for one, two in zip(self.next, other.next, strict=True)],
            np.where(wide, self.slope, other.slope),
            np.where(better, self.cost, other.cost),
            np.where(better, self.soft, other.soft),
            np.where(better, self.broken, other.broken),
            self.cyclic,
        )


class Batch:
    """Chains refined together: what is fixed about them, and what they miss at given places."""

    def __init__(self, problem: RowProblem, sequences: list[Sequence]) -> None:
        self.problem = problem
        self.floating = problem.float_max > 0
        cyclic = problem.sector.cyclic
        self.lengths = np.array([len(one.sizes) for one in sequences])
        self.count, self.stones = len(sequences), int(self.lengths.max())
        place = np.arange(self.stones)
        self.real: Bools = place < self.lengths[:, None]
        self.padded = not bool(self.real.all())
        self.sizes = np.array([_filled(one.sizes, self.stones) for one in sequences])
        self.radii = problem.radii[self.sizes]
        self.mean_radius = float(np.mean(self.radii))
        self.away = problem.clearance + self.radii
        pins = np.array([(*one.pins, *(-1,) * (self.stones - len(one.pins))) for one in sequences])
        axes = () if cyclic else problem.sector.along
        rays = np.array([*axes, *problem.inner_rays, (0.0, 0.0)])
        self.pinned: Bools = pins >= 0
        self.any_pinned = bool(self.pinned.any())
        self.free = (~self.pinned).astype(np.float64)
        self.ray = rays[pins]
        self.weight = self.real.astype(np.float64)
        self.last = self.lengths - 1
        self.open_ends: list[tuple[int, Ints, Floats]] = []
        if not cyclic:
            rows = np.arange(self.count)
            on = np.array([one.on_axis for one in sequences])
            self.weight[on[:, 0], 0] = 0.5
            self.weight[rows[on[:, 1]], self.last[on[:, 1]]] = 0.5
            for end, k in ((0, np.zeros_like(self.last)), (1, self.last)):
                half = np.where(on[:, end], 0.0, 0.5)
                if half.any():
                    self.open_ends.append((end, k, half))
        self.pairs = self.stones if cyclic else self.stones - 1
        self.before = np.arange(self.pairs)
        self.after = (self.before + 1) % self.stones
        self.linked: Floats = (
            self.real[:, self.after].astype(np.float64) if self.pairs else np.zeros((self.count, 0))
        )
        self.touch = self.radii[:, self.before] + self.radii[:, self.after]
        diameters = problem.sizes[self.sizes]
        steps = (diameters[:, self.after] - diameters[:, self.before]) * self.linked
        self.fixed = np.sum(objective.step_cost(steps), axis=1) + np.sum(
            self.weight * objective.size_cost(diameters, problem.wanted), axis=1
        )

    def filled(self, rows: list[Floats]) -> Floats:
        """Values of stones as one array, the last repeated where a chain is shorter."""
        return np.array([np.append(row, np.full(self.stones - len(row), row[-1])) for row in rows])

    def settle(self, u: Floats, floats: Floats) -> Floats:
        """Slide pinned stones back onto their rays."""
        if not self.any_pinned:
            return u
        u = u.copy()
        where, ray = u[self.pinned], self.ray[self.pinned]
        distance = (self.away + floats)[self.pinned]
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
        distance = self.away + floats
        x, y = px + distance * nx, py + distance * ny
        turn = distance * sphi
        xu, yu = sx - ny * turn, sy + nx * turn
        if not self.any_pinned:
            return x, y, xu, yu, nx, ny
        if self.floating:
            cross = self.ray[..., 0] * yu - self.ray[..., 1] * xu
            off = self.ray[..., 0] * ny - self.ray[..., 1] * nx
            along = np.where(np.abs(cross) > 1e-6, -off / np.where(np.abs(cross) > 1e-6, cross, 1.0), 0.0)
            along = np.where(self.pinned, along, 0.0)
            nx, ny = nx + xu * along, ny + yu * along
        return x, y, xu * self.free, yu * self.free, nx, ny

    def misses(self, u: Floats, floats: Floats, steep: float) -> Normal:
        """All misses, and the normal equations; *steep* is the weight of a broken limit per mm."""
        problem, m = self.problem, self.stones
        x, y, xu, yu, xq, yq = self.centres(u, floats)
        hard = steep * steep
        found = _Found(self, hard)

        i, j = self.before, self.after
        dx, dy = x[:, j] - x[:, i], y[:, j] - y[:, i]
        apart = np.maximum(np.sqrt(dx * dx + dy * dy), 1e-9)
        ex, ey = dx / apart, dy / apart
        gap = apart - self.touch
        force, stiff = found.band(gap, self.linked)
        by_u = -(ex * xu[:, i] + ey * yu[:, i]), ex * xu[:, j] + ey * yu[:, j]
        found.place(by_u, force, stiff)
        follow = [stiff * by_u[0] * by_u[1]]
        if self.floating:
            by_q = -(ex * xq[:, i] + ey * yq[:, i]), ex * xq[:, j] + ey * yq[:, j]
            found.float(by_u, by_q, force, stiff)
            follow += [
                stiff * by_u[0] * by_q[1],
                stiff * by_q[0] * by_u[1],
                stiff * by_q[0] * by_q[1],
            ]
        rows = np.arange(self.count)
        for end, k, half in self.open_ends:
            ax, ay = problem.sector.inward[end]
            gap = 2 * (ax * x[rows, k] + ay * y[rows, k] - self.radii[rows, k])
            force, stiff = found.band(gap, half)
            slope_u = 2 * (ax * xu[rows, k] + ay * yu[rows, k])
            slope_q = 2 * (ax * xq[rows, k] + ay * yq[rows, k])
            found.alone((rows, k), slope_u, slope_q, force, stiff)
        everywhere = (slice(None), slice(None))
        if self.floating:
            found.soft += np.sum(self.weight * floats * floats, axis=1) * SOFT_FLOAT
            found.own[2] += self.weight * SOFT_FLOAT
            found.slope[:, m:] += self.weight * floats * SOFT_FLOAT
        if problem.target is not None:
            depth, gx, gy = problem.target.nearest(x, y)
            short = depth - self.radii
            found.soft += np.sum(self.weight * short * short, axis=1) * SOFT_TARGET
            off = (
                short - np.minimum(np.maximum(short, -problem.outside_max), problem.inside_max)
            ) * self.real
            pressed = found.limit(off)
            force = self.weight * short * SOFT_TARGET + hard * off
            stiff = self.weight * SOFT_TARGET + hard * pressed
            found.alone(everywhere, gx * xu + gy * yu, gx * xq + gy * yq, force, stiff)
        if not problem.sector.cyclic:
            keep_off = self.radii + problem.gap_min / 2
            for ax, ay in problem.sector.inward:
                off = np.minimum(0.0, ax * x + ay * y - keep_off) * self.free
                if off.any():
                    off *= self.real
                    pressed = found.limit(off)
                    found.alone(everywhere, ax * xu + ay * yu, ax * xq + ay * yq, hard * off, hard * pressed)
        near = problem.dented(u)
        if near.any():
            off, gx, gy = np.zeros_like(x), np.zeros_like(x), np.zeros_like(x)
            depth, gx[near], gy[near] = problem.girdle.nearest(x[near], y[near])
            off[near] = np.maximum(0.0, depth + self.away[near])
            off[off < 2e-8] = 0.0
            off *= self.real
            pressed = found.limit(off)
            found.alone(everywhere, gx * xu + gy * yu, gx * xq + gy * yq, hard * off, hard * pressed)
        cost = found.soft + hard * found.squared
        return Normal(found.own, follow, found.slope, cost, found.soft, found.broken, problem.sector.cyclic)


class _Found:
    """The sums of one evaluation, as they grow."""

    def __init__(self, batch: Batch, hard: float) -> None:
        count, m = batch.count, batch.stones
        self.batch, self.hard = batch, hard
        self.own = [np.zeros((count, m)) for _ in range(3 if batch.floating else 1)]
        self.slope = np.zeros((count, 2 * m if batch.floating else m))
        self.soft = np.zeros(count)
        self.squared = np.zeros(count)
        self.broken = np.zeros(count)

    def limit(self, off: Floats) -> Floats:
        """Book how far limits are broken; 1 where one is."""
        size = np.abs(off)
        if off.ndim == 2:
            self.broken = np.maximum(self.broken, np.max(size, axis=1, initial=0.0))
            self.squared += np.sum(off * off, axis=1)
        else:
            self.broken = np.maximum(self.broken, size)
            self.squared += off * off
        return (size > 0).astype(np.float64)

    def band(self, gap: Floats, weight: Floats) -> tuple[Floats, Floats]:
        """Book gaps off the wanted one and out of their band; what drives each, and how stiffly."""
        problem = self.batch.problem
        miss = gap - problem.gap_wanted
        soft = weight * miss * miss
        self.soft += (np.sum(soft, axis=1) if soft.ndim == 2 else soft) * SOFT_GAP
        off = (gap - np.minimum(np.maximum(gap, problem.gap_min), problem.gap_max)) * (weight > 0)
        pressed = self.limit(off)
        return weight * miss * SOFT_GAP + self.hard * off, weight * SOFT_GAP + self.hard * pressed

    def place(self, by_u: tuple[Floats, Floats], force: Floats, stiff: Floats) -> None:
        """Add what gaps between neighbours say of the places of both."""
        for k, slope in zip((self.batch.before, self.batch.after), by_u, strict=True):
            self.own[0][:, k] += stiff * slope * slope
            self.slope[:, k] += force * slope

    def float(
        self, by_u: tuple[Floats, Floats], by_q: tuple[Floats, Floats], force: Floats, stiff: Floats
    ) -> None:
        """Add what gaps between neighbours say of the floats of both."""
        m = self.batch.stones
        for k, u, q in zip((self.batch.before, self.batch.after), by_u, by_q, strict=True):
            self.own[1][:, k] += stiff * u * q
            self.own[2][:, k] += stiff * q * q
            self.slope[:, m + k] += force * q

    def alone(
        self, at: tuple[Ints | slice, Ints | slice], u: Floats, q: Floats, force: Floats, stiff: Floats
    ) -> None:
        """Add what a miss of single stones says."""
        self.own[0][at] += stiff * u * u
        m = self.batch.stones
        self.slope[:, :m][at] += force * u
        if self.batch.floating:
            self.own[1][at] += stiff * u * q
            self.own[2][at] += stiff * q * q
            self.slope[:, m:][at] += force * q


def _filled(values: tuple[int, ...], length: int) -> tuple[int, ...]:
    return (*values, *(values[-1],) * (length - len(values)))
