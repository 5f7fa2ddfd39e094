"""
One row of melee on a fine grid: every place a stone of each size could stand, and what each neighbour would cost.

The grid's cheapest chain is made a lower bound of the true optimum:

- hard limits are widened by what rounding a stone to the next place can change;
- each free place carries the credit ``(step / GAP_MM)^2 / 4`` (a tenth more for curvature): rounding the stones of
  the true optimum to one of their two next places, all by one random threshold and so without bias, changes each
  gap with a variance of at most a quarter step squared, and raises the expected cost by no more than that;
- where stones may float, each stone's float is settled separately for its two gaps, which can only be cheaper.

Source: exact-geometry.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from gemcalc.halo import objective
from gemcalc.halo.sector import RowProblem, Vector

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]
Bools = npt.NDArray[np.bool_]

FINE_STEP = 0.0077
"""Spacing of places as a share of the mean melee diameter: 10 microns for 1.30 mm."""
FLOAT_SLACK = 0.03
"""How far gaps may be off their band, mm, where floating stones can still mend them."""


@dataclass(frozen=True)
class Pin:
    """A ray on which a stone may or must be centred: its direction, and the cell that stands for it per size."""

    ray: Vector
    cell: Ints
    u: Floats


@dataclass(frozen=True)
class Corridor:
    """
    Where a coarse grid leaves room for a chain below a limit: all that a finer grid has to look at.

    Args:
        start: Parameter of the first coarse cell, mm.
        step: Spacing of the coarse cells, mm.
        open: Whether some chain below the limit stands in a coarse cell or next to it, [size, cell].
    """

    start: float
    step: float
    open: Bools

    @classmethod
    def of(cls, grid: Places, used: Bools) -> Corridor:
        """From the places that chains below the limit use, widened by one cell each way for good measure."""
        wide = used.copy()
        wide[:, 1:] |= used[:, :-1]
        wide[:, :-1] |= used[:, 1:]
        return cls(float(grid.u[0]), grid.step, wide)

    def at(self, u: Floats) -> Bools:
        """Whether a stone of each size may stand at *u*: it is rounded to one of the two coarse cells about it."""
        last = self.open.shape[1] - 1
        low = np.minimum(np.maximum(np.floor((u - self.start) / self.step).astype(np.int64), 0), last)
        return self.open[:, low] | self.open[:, np.minimum(low + 1, last)]

    @property
    def share(self) -> float:
        """How much of the coarse grid is open."""
        return float(np.mean(self.open))


@dataclass(frozen=True)
class Places:
    """Where stones can stand: arrays over [size, cell]; see :func:`places`."""

    step: float
    u: Floats
    x: Floats
    y: Floats
    nx: Floats
    ny: Floats
    alive: Bools
    pinned: Bools
    cost: Floats
    stiffness: Floats
    begin: Floats
    finish: Floats
    floats: Floats
    pins: tuple[Pin, ...]
    limits: tuple[Ints, Ints]
    sizes: int
    cells: int


def _pin(problem: RowProblem, ray: Vector, u: Floats, low: int, high: int) -> Pin:
    """Where stones of each size, at the clearance, are centred on a ray."""
    girdle = problem.girdle
    distance = problem.clearance + problem.radii
    x, y, _, _ = girdle.place(u[None, low : high + 1], distance[:, None])
    across = np.abs(ray[0] * y - ray[1] * x)
    across[ray[0] * x + ray[1] * y <= 0] = math.inf
    best = np.argmin(across, axis=1)
    where = u[low + best]
    for _ in range(4):
        px, py, phi, sx, sy, sphi = girdle.roll(where)
        nx, ny = np.cos(phi), np.sin(phi)
        miss = ray[0] * (py + distance * ny) - ray[1] * (px + distance * nx)
        slope = ray[0] * (sy + distance * nx * sphi) - ray[1] * (sx - distance * ny * sphi)
        where = where - np.where(np.abs(slope) > 1e-9, miss / np.where(slope == 0, 1.0, slope), 0.0)
    return Pin(ray=ray, cell=low + best.astype(np.int64), u=where)


def _target_reach(
    problem: RowProblem, x: Floats, y: Floats, nx: Floats, ny: Floats, wanted: Bools | None
) -> tuple[Floats, Floats]:
    """
    How far short of the target each place falls without floating, and how much floating out brings.

    Only *wanted* places must be right; the others are filled in from the nearest of those.
    """
    assert problem.target is not None
    stride, width = 4, x.shape[1]
    knots = np.append(np.arange(0, width - 1, stride), width - 1)
    needed = np.ones((len(x), len(knots)), dtype=np.bool_)
    if wanted is not None:
        counted = np.zeros((len(x), width + 1), dtype=np.int64)
        counted[:, 1:] = np.cumsum(wanted, axis=1)
        needed = counted[:, np.minimum(knots + stride, width)] > counted[:, np.maximum(knots - stride, 0)]
    rows, which = np.nonzero(needed)
    cell = knots[which]
    depth, gx, gy = problem.target.nearest(x[rows, cell], y[rows, cell])
    gain = np.maximum(-(gx * nx[rows, cell] + gy * ny[rows, cell]), 0.2)
    cells = np.arange(width)
    short, gains = np.zeros(x.shape), np.ones(x.shape)
    edges = np.searchsorted(rows, np.arange(len(x) + 1))
    for size, (low, high) in enumerate(itertools.pairwise(edges.tolist())):
        if high > low:
            short[size] = np.interp(cells, cell[low:high], depth[low:high] - problem.radii[size])
            gains[size] = np.interp(cells, cell[low:high], gain[low:high])
    return short, gains


def _floated(
    problem: RowProblem, short: Floats | None, gain: Floats, slack: float
) -> tuple[Floats, Floats, Floats, Bools]:
    """Best float of each place on its own, its cost, its stiffness, and whether the place can be used."""
    soft = 1 / objective.CLEARANCE_MM**2
    if short is None:
        nought = np.zeros_like(gain)
        return nought, nought, np.full_like(gain, soft), np.ones(gain.shape, dtype=np.bool_)
    pull = gain / objective.TARGET_MM**2
    stiffness = soft + gain * pull
    low = np.maximum(0.0, (short - problem.inside_max) / gain)
    high = np.minimum(problem.float_max, (short + problem.outside_max) / gain)
    usable = low <= high + slack
    middle = (low + high) / 2
    floats = np.where(low <= high, np.clip(short * pull / stiffness, low, np.maximum(low, high)), middle)
    return floats, objective.float_cost(floats, short - gain * floats), stiffness, usable


def _ends(
    problem: RowProblem,
    end: int,
    x: Floats,
    y: Floats,
    nx: Floats,
    ny: Floats,
    stiffness: Floats,
    step: float,
) -> tuple[Floats, Floats]:
    """Distance of places to a mirror axis, and the cost of standing next to it with half a gap."""
    (ax, ay), (dx, dy) = problem.sector.inward[end], problem.sector.along[end]
    away = ax * x + ay * y
    gap = 2 * (away - problem.radii[:, None])
    slack = 4 * step + (2 * FLOAT_SLACK if problem.float_max > 0 else 0.0)
    near = (gap >= problem.gap_min - slack) & (gap <= problem.gap_max + slack) & (dx * x + dy * y > 0)
    lean = np.square(ax * nx + ay * ny) if problem.float_max > 0 else np.zeros_like(x)
    cost = 0.5 * np.square(gap - problem.gap_wanted) / (objective.GAP_MM**2 + 4 * lean / stiffness)
    return away, np.where(near, cost, np.inf)


def places(
    problem: RowProblem, *, step: float, limit: float = math.inf, corridor: Corridor | None = None
) -> Places:
    """
    Every place for every size in the sector (the loop, with one stone's pitch repeated, without mirrors).

    Args:
        problem: The row.
        step: Spacing of the places, mm.
        limit: Places that cost more are left out: no chain that costs less can hold them.
        corridor: Where alone stones need be looked for.
    """
    sector, girdle = problem.sector, problem.girdle
    start, stop = sector.ends(girdle)
    if sector.cyclic and problem.inner_rays:
        # The loop is cut where a stone is known to stand.
        turn = np.linspace(0.0, girdle.length, 720, endpoint=False)
        tx, ty, _, _ = girdle.place(turn, problem.clearance + float(np.mean(problem.radii)))
        rx, ry = problem.inner_rays[0]
        off = np.where(rx * tx + ry * ty > 0, np.abs(rx * ty - ry * tx), math.inf)
        start = float(turn[np.argmin(off)]) - 0.1 * float(problem.sizes[0])
        stop = start + girdle.length
    inner = max(8, round((stop - start) / step))
    step = (stop - start) / inner
    beyond = math.ceil(1.7 * (float(problem.sizes[-1]) + problem.gap_max) / step) if sector.cyclic else 0
    u: Floats = start + step * np.arange(inner + beyond + 1, dtype=np.float64)
    px, py, phi, *_ = girdle.roll(u)
    nx = np.broadcast_to(np.cos(phi), (len(problem.sizes), len(u)))
    ny = np.broadcast_to(np.sin(phi), nx.shape)
    distance = (problem.clearance + problem.radii)[:, None]
    x, y = px + distance * nx, py + distance * ny

    pins: list[Pin] = []
    low_limit = np.zeros(len(problem.sizes), dtype=np.int64)
    high_limit = np.full(len(problem.sizes), len(u) - 1, dtype=np.int64)
    if not sector.cyclic:
        pins = [_pin(problem, ray, u, 0, inner) for ray in sector.along]
        low_limit, high_limit = pins[0].cell, pins[1].cell
    pins += [_pin(problem, ray, u, 0, inner) for ray in problem.inner_rays]
    x, y, nx, ny = x.copy(), y.copy(), nx.copy(), ny.copy()
    pinned = np.zeros(x.shape, dtype=np.bool_)
    rows = np.arange(len(problem.sizes))
    for pin in pins:
        copies = [0] + ([inner] if sector.cyclic else [])
        for shift in copies:
            cell = pin.cell + shift
            inside = cell < len(u)
            qx, qy, mx, my = girdle.place(pin.u, distance[:, 0])
            for array, value in ((x, qx), (y, qy), (nx, mx), (ny, my)):
                array[rows[inside], cell[inside]] = value[inside]
            pinned[rows[inside], cell[inside]] = True

    gain = np.ones(x.shape)
    short: Floats | None = None
    allowed = None if corridor is None else corridor.at(u)
    if problem.target is not None:
        short, gain = _target_reach(problem, x, y, nx, ny, allowed)
    floats, cost, stiffness, alive = _floated(problem, short, gain, step)
    if allowed is not None:
        alive &= allowed
    x, y = x + floats * nx, y + floats * ny
    speed = np.hypot(np.diff(x, axis=1), np.diff(y, axis=1)) / step
    speed = np.maximum(
        np.pad(speed, ((0, 0), (0, 1)), mode="edge"), np.pad(speed, ((0, 0), (1, 0)), mode="edge")
    )
    cells = np.arange(len(u))
    alive &= (cells >= low_limit[:, None]) & (cells <= high_limit[:, None])
    if not girdle.convex:
        near = problem.dented(u)
        depth, _, _ = girdle.nearest(x[:, near], y[:, near])
        alive[:, near] &= (-depth >= distance - 2 * step) | pinned[:, near]
    credit = np.where(pinned, 0.0, 0.275 * np.square(np.minimum(speed, 1.6) * step / objective.GAP_MM))
    begin, finish = np.full(x.shape, np.inf), np.full(x.shape, np.inf)
    weight = np.ones(x.shape)
    if not sector.cyclic:
        for end, out in ((0, begin), (1, finish)):
            away, out[:] = _ends(problem, end, x, y, nx, ny, stiffness, step)
            alive &= (away >= problem.radii[:, None] + problem.gap_min / 2 - 2 * step) | pinned
            out -= 1.5 * credit
            for pin in pins[2:]:
                # A chain that began beyond a ray would have no stone on it.
                passed = cells > pin.cell[:, None] if end == 0 else cells < pin.cell[:, None]
                out[passed] = np.inf
            if problem.axis_forced(end):
                out[:] = np.inf
            out[rows, pins[end].cell] = 0.0
            weight[rows, pins[end].cell] = 0.5
    cost = weight * (cost + objective.size_cost(problem.sizes, problem.wanted)[:, None])
    alive &= cost <= (math.sqrt(max(limit, 0.0)) + step / objective.TARGET_MM) ** 2
    cost = cost - credit
    return Places(
        step=step,
        u=u,
        x=x,
        y=y,
        nx=nx,
        ny=ny,
        alive=alive,
        pinned=pinned,
        cost=np.where(alive, cost, np.inf),
        stiffness=stiffness,
        begin=begin,
        finish=finish,
        floats=floats,
        pins=tuple(pins),
        limits=(low_limit, high_limit),
        sizes=len(problem.sizes),
        cells=inner,
    )
