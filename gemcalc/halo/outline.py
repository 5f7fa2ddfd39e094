"""
A girdle outline as a roll of points with outward normals, and what can be asked of it.

The position of a stone of radius r at distance g from the girdle is p(u) + (g + r) n(u),
u being the arc length of the parallel curve at a reference distance.
On a flat n stands still, on a sharp corner p does, so flats, corners and curves are rolled round alike.

Source: exact-geometry (Steiner's parallel curves).
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from gemcalc.errors import BadInput
from gemcalc.halo.case import Outline
from gemcalc.halo.shapes import trace

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

STEP = 0.005
"""Spacing of the table as a share of the reference distance: the chord then misses the curve by less than 10 nm."""
COARSE = 64
FINE = 8


@dataclass(frozen=True)
class Girdle:
    """
    One closed outline, ready to be rolled round.

    Args:
        x, y: Points, mm, anticlockwise, the first repeated at the end.
        phi: Direction of the outward normal at each, radians, running on past 2 pi.
        u: Parameter at each point, mm, from 0.
        reach: Reference distance, mm.
    """

    x: Floats
    y: Floats
    phi: Floats
    u: Floats
    reach: float

    @cached_property
    def length(self) -> float:
        """Full turn of the parameter, mm."""
        return float(self.u[-1])

    @cached_property
    def convex(self) -> bool:
        """Whether the outline has no dent anywhere."""
        return bool(np.all(np.diff(self.phi) >= -1e-9))

    @cached_property
    def area(self) -> float:
        """Enclosed area, mm2."""
        return float(np.sum(self.x[:-1] * self.y[1:] - self.x[1:] * self.y[:-1])) / 2

    @cached_property
    def _table(self) -> Floats:
        """Of each stretch between two points: x, y, phi at its start, their slopes, and u, one row a stretch."""
        run = np.diff(self.u)
        run = np.where(run <= 0, 1.0, run)
        start = self.x[:-1], self.y[:-1], self.phi[:-1]
        slopes = np.diff(self.x) / run, np.diff(self.y) / run, np.diff(self.phi) / run
        return np.stack((*start, *slopes, self.u[:-1]), axis=1)

    @cached_property
    def _normals(self) -> tuple[Floats, Floats]:
        return np.cos(self.phi), np.sin(self.phi)

    def roll(self, u: Floats) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        """Point, normal direction and their slopes per mm of *u* (any real *u*; the outline is closed)."""
        v = u - np.floor(u / self.length) * self.length
        k = np.searchsorted(self.u, v, side="right") - 1
        row = self._table.take(np.minimum(k, len(self.u) - 2), axis=0)
        sx, sy, sphi = row[..., 3], row[..., 4], row[..., 5]
        run = v - row[..., 6]
        return row[..., 0] + sx * run, row[..., 1] + sy * run, row[..., 2] + sphi * run, sx, sy, sphi

    def place(self, u: Floats, distance: Floats | float) -> tuple[Floats, Floats, Floats, Floats]:
        """Centres at *distance* from the girdle over *u*, and the normals there: x, y, nx, ny."""
        px, py, phi, *_ = self.roll(u)
        nx, ny = np.cos(phi), np.sin(phi)
        return px + distance * nx, py + distance * ny, nx, ny

    @cached_property
    def _levels(self) -> list[tuple[int, Ints]]:
        coarse = np.arange(0, len(self.u) - 1, COARSE)
        wide = np.arange(-COARSE, COARSE + 1, FINE)
        near = np.arange(-FINE, FINE + 1)
        return [(COARSE, coarse), (FINE, wide), (1, near)]

    @cached_property
    def _coarse(self) -> tuple[Floats, Floats, Floats]:
        """The measure below over coarse points without its share that is alike for all of them: linear in x, y."""
        k = self._levels[0][1]
        nx, ny = (normal[k] for normal in self._normals)
        x, y = self.x[k], self.y[k]
        return 2 * x + 1e-9 * nx, 2 * y + 1e-9 * ny, x * x + y * y + 1e-9 * (x * nx + y * ny)

    def _measure(self, x: Floats, y: Floats, k: Ints) -> Floats:
        """Squared distance to table points; at a corner the normal that looks at the point wins the tie."""
        nx, ny = self._normals
        dx, dy = x[:, None] - self.x[k], y[:, None] - self.y[k]
        measured: Floats = dx * dx + dy * dy - 1e-9 * (dx * nx[k] + dy * ny[k])
        return measured

    def _refine(self, x: Floats, y: Floats, k: Ints) -> tuple[Ints, Floats]:
        count = len(self.u) - 1
        rows = np.arange(len(x))
        value = np.zeros(len(x))
        for _, offsets in self._levels[1:]:
            window = (k[:, None] + offsets) % count
            measured = self._measure(x, y, window)
            best = np.argmin(measured, axis=1)
            k, value = window[rows, best], measured[rows, best]
        return k, value

    def nearest(self, x: Floats, y: Floats) -> tuple[Floats, Floats, Floats]:
        """
        Signed distance of points to the girdle, mm, positive inside, and its slope in x and y.

        Exact to some nanometres for points no further from the girdle than its size.
        """
        shape = x.shape
        px, py = np.ravel(x), np.ravel(y)
        coarse = self._levels[0][1]
        slope_x, slope_y, base = self._coarse
        first = base - (px[:, None] * slope_x + py[:, None] * slope_y)
        rows = np.arange(len(px))
        k, value = self._refine(px, py, coarse[np.argmin(first, axis=1)])
        if not self.convex:
            # A dent can have two near sides: follow the two lowest valleys of the coarse distances.
            valley = (first <= np.roll(first, 1, axis=1)) & (first <= np.roll(first, -1, axis=1))
            valleys = np.where(valley, first, np.inf)
            valleys[rows, np.argmin(valleys, axis=1)] = np.inf
            other, second = self._refine(px, py, coarse[np.argmin(valleys, axis=1)])
            k = np.where(second < value, other, k)
        dx, dy = px - self.x[k], py - self.y[k]
        nx, ny = self._normals
        away = np.maximum(np.hypot(dx, dy), 1e-12)
        inside = np.where(dx * nx[k] + dy * ny[k] < 0, 1.0, -1.0)
        return (
            (inside * away).reshape(shape),
            (inside * dx / away).reshape(shape),
            (inside * dy / away).reshape(shape),
        )

    def mirrored(self, group: str) -> bool:
        """Whether the outline maps to itself under *group* (``D4``, ``D2``, ``D1``), to a tenth of a micron."""
        count = max(8, len(self.x) // 400)
        x, y = self.x[:-1:count], self.y[:-1:count]
        images = {"D1": [(-x, y)], "D2": [(-x, y), (x, -y)], "D4": [(-x, y), (x, -y), (y, x)]}[group]
        return all(float(np.max(np.abs(self.nearest(ix, iy)[0]))) < 1e-4 for ix, iy in images)


def _moved(x: Floats, y: Floats, phi: Floats, reach: float) -> Floats:
    """How far the parallel curve runs between neighbouring points; across a dent it leaps."""
    turn = np.diff(phi)
    run = np.hypot(np.diff(x), np.diff(y)) + reach * np.maximum(turn, 0.0)
    return np.where(turn < -1e-6, 1e-9, run)


def girdle_of(x: Floats, y: Floats, phi: Floats, *, reach: float) -> Girdle:
    """A girdle from a traced loop (see :mod:`gemcalc.halo.shapes`); the parameter starts at its first point."""
    x, y = np.append(x, x[0]), np.append(y, y[0])
    turn = float(phi[0]) + 2 * math.pi
    phi = np.append(phi, turn)
    moved = _moved(x, y, phi, reach)
    keep = np.concatenate(([True], (moved > 1e-12) | (np.diff(phi) < 0)))
    x, y, phi = x[keep], y[keep], phi[keep]
    x[-1], y[-1], phi[-1] = x[0], y[0], turn
    moved = _moved(x, y, phi, reach)
    return Girdle(x=x, y=y, phi=phi, u=np.concatenate(([0.0], np.cumsum(moved))), reach=reach)


def _started_below(girdle: Girdle) -> Girdle:
    """The same girdle with its parameter starting where the parallel curve crosses the -y axis."""
    nx, ny = girdle._normals
    cx, cy = girdle.x + girdle.reach * nx, girdle.y + girdle.reach * ny
    crossing = np.nonzero((cx[:-1] <= 0) & (cx[1:] > 0) & (cy[:-1] < 0))[0]
    if len(crossing) == 0:
        return girdle
    k = int(crossing[0])
    share = float(-cx[k] / (cx[k + 1] - cx[k]))

    def turned(values: Floats, period: float) -> Floats:
        cut = values[k] + share * (values[k + 1] - values[k])
        return np.concatenate(([cut], values[k + 1 : -1], values[: k + 1] + period))

    return girdle_of(
        turned(girdle.x, 0.0), turned(girdle.y, 0.0), turned(girdle.phi, 2 * math.pi), reach=girdle.reach
    )


def girdle(outline: Outline, *, reach: float, field: str) -> Girdle:
    """
    Roll up an outline.

    Args:
        outline: The outline.
        reach: Reference distance of the parameter, mm; about the clearance plus a melee radius.
        field: How the outline is called in errors (``centre`` or ``target``).

    Raises:
        BadInput: the outline crosses itself, does not surround its origin, or its measures contradict each other.
    """
    try:
        x, y, phi = trace(outline, step=STEP * reach, reach=reach)
    except BadInput as error:
        raise BadInput(error.message, field=error.field or f"{field}.{outline.cut}") from None
    if outline.cut != "outline":
        return girdle_of(x, y, phi, reach=reach)
    if abs(float(phi[-1] - phi[0]) - 2 * math.pi) > math.pi:
        raise BadInput("the outline crosses itself", field=f"{field}.points_mm")
    rolled = girdle_of(x, y, phi, reach=reach)
    if rolled.area < 0.1:
        raise BadInput("the outline encloses no area", field=f"{field}.points_mm")
    origin = np.zeros(1)
    angle = np.arctan2(rolled.y, rolled.x)
    turns = float(np.sum((np.diff(angle) + math.pi) % (2 * math.pi) - math.pi))
    if abs(turns - 2 * math.pi) > 0.1 or float(rolled.nearest(origin, origin)[0][0]) <= 0:
        raise BadInput("the outline must surround its origin", field=f"{field}.points_mm")
    return _started_below(rolled)
