"""
The part of a halo that has to be solved: one row's limits, and one sector between two mirrors (or the whole loop).

Lengths mm, angles radians unless a name says degrees.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import numpy.typing as npt

from gemcalc.halo.outline import Girdle

Floats = npt.NDArray[np.float64]
Vector = tuple[float, float]

# Mirror group: copies of the sector, directions of its two mirror axes (degrees), share of the girdle at each.
_GROUPS: dict[str, tuple[int, float, float, float, float]] = {
    "D4": (8, 0.0, 45.0, 0.25, 0.375),
    "D2": (4, 0.0, 90.0, 0.25, 0.5),
    "D1": (2, -90.0, 90.0, 0.0, 0.5),
    "C1": (1, -90.0, 270.0, 0.0, 1.0),
}


def unit(degrees: float) -> Vector:
    """Unit vector in a direction, exact on the axes."""
    exact = {0.0: (1.0, 0.0), 90.0: (0.0, 1.0), 180.0: (-1.0, 0.0), 270.0: (0.0, -1.0)}
    angle = degrees % 360.0
    return exact.get(angle) or (math.cos(math.radians(angle)), math.sin(math.radians(angle)))


@dataclass(frozen=True)
class Sector:
    """
    A sector of the plane between mirror axes A and B, A first anticlockwise; C1 is the whole plane without axes.

    Args:
        symmetry: ``D4``, ``D2``, ``D1`` or ``C1``.
    """

    symmetry: str

    @property
    def copies(self) -> int:
        """How many times the sector stands in the whole halo."""
        return _GROUPS[self.symmetry][0]

    @property
    def cyclic(self) -> bool:
        """Whether the chain closes on itself instead of ending at mirrors."""
        return self.symmetry == "C1"

    @cached_property
    def along(self) -> tuple[Vector, Vector]:
        """Directions of the axes A and B."""
        _, a, b, _, _ = _GROUPS[self.symmetry]
        return unit(a), unit(b)

    @cached_property
    def inward(self) -> tuple[Vector, Vector]:
        """Normals of the axes A and B, pointing into the sector."""
        (ax, ay), (bx, by) = self.along
        return (-ay, ax), (by, -bx)

    def ends(self, girdle: Girdle) -> tuple[float, float]:
        """Parameter of *girdle* on the axes A and B, mm."""
        _, _, _, a, b = _GROUPS[self.symmetry]
        return a * girdle.length, b * girdle.length

    def fold(self, degrees: float) -> float:
        """The direction inside the sector onto which its mirrors bring *degrees*."""
        angle = degrees % 360.0
        if self.symmetry == "C1":
            return angle
        if self.symmetry == "D1":
            angle = (angle + 90.0) % 360.0
            return min(angle, 360.0 - angle) - 90.0
        angle %= 180.0
        angle = min(angle, 180.0 - angle)
        return min(angle, 90.0 - angle) if self.symmetry == "D4" else angle

    def images(self, x: Floats, y: Floats, *, on_axis: npt.NDArray[np.bool_]) -> list[tuple[Floats, Floats]]:
        """
        All mirror images of the sector's points, the sector itself first, anticlockwise sector by sector.

        Points in *on_axis* lie on one of the axes; the caller drops their doubles.
        """
        halves = [(x, y)]
        if self.symmetry == "D4":
            halves = [(x, y), (y[::-1], x[::-1])]
        if self.symmetry in ("D4", "D2"):
            halves += [(-hx[::-1], hy[::-1]) for hx, hy in reversed(halves)]
            return halves + [(hx[::-1], -hy[::-1]) for hx, hy in reversed(halves)]
        if self.symmetry == "D1":
            halves.append((-x[::-1], y[::-1]))
        return halves


@dataclass(frozen=True, kw_only=True)
class RowProblem:
    """
    One chain of stones round one girdle.

    Args:
        girdle: What the row stands round: the centre stone, or the row within.
        clearance: Least distance from it, mm.
        float_max: How much further a stone may stand, mm.
        target: Girdle that the row should reach, or None.
        inside_max, outside_max: How far short of it and beyond it a stone may end, mm.
        gap_min, gap_max, gap_wanted: Neighbour gaps, mm.
        sizes: Diameters, mm, rising.
        step_max: Largest size step between neighbours, mm.
        wanted: Wanted diameter, mm, or None.
        stock: How many of each size, or None.
        rays: Directions (degrees, any) on which a stone must be centred.
        sector: Symmetry.
    """

    girdle: Girdle
    clearance: float
    float_max: float
    target: Girdle | None
    inside_max: float
    outside_max: float
    gap_min: float
    gap_max: float
    gap_wanted: float
    sizes: Floats
    step_max: float
    wanted: float | None
    stock: npt.NDArray[np.int64] | None
    rays: tuple[float, ...]
    sector: Sector

    @cached_property
    def radii(self) -> Floats:
        """Melee radii, mm."""
        return self.sizes / 2

    @cached_property
    def folded(self) -> tuple[float, ...]:
        """The rays brought into the sector, degrees, each once."""
        return tuple(sorted({round(self.sector.fold(ray), 9) for ray in self.rays}))

    def axis_forced(self, end: int) -> bool:
        """Whether a ray lies on axis A (0) or B (1)."""
        if self.sector.cyclic:
            return False
        ax, ay = self.sector.along[end]
        return any(math.hypot(unit(ray)[0] - ax, unit(ray)[1] - ay) < 1e-9 for ray in self.folded)

    @cached_property
    def inner_rays(self) -> tuple[Vector, ...]:
        """Directions of the rays that lie strictly inside the sector."""
        axes = () if self.sector.cyclic else self.sector.along
        vectors = [unit(ray) for ray in self.folded]
        return tuple(v for v in vectors if all(math.dist(v, axis) >= 1e-9 for axis in axes))

    @cached_property
    def _dents(self) -> npt.NDArray[np.bool_]:
        """Along even steps of the girdle: whether a stone there could be held off by another part of it."""
        count = 1500
        step = self.girdle.length / count
        distance = self.clearance + self.float_max + float(self.radii[-1])
        x, y, _, _ = self.girdle.place(np.arange(count, dtype=np.float64) * step, distance)
        held = -self.girdle.nearest(x, y)[0] < distance - 1e-6
        spread = math.ceil(0.5 * float(self.radii[-1]) / step)
        return (
            np.convolve(np.tile(held.astype(float), 3), np.ones(2 * spread + 1), "same")[count : 2 * count]
            > 0.5
        )

    def dented(self, u: Floats) -> npt.NDArray[np.bool_]:
        """Whether the girdle near *u* has a dent that a stone there could feel."""
        if self.girdle.convex:
            return np.zeros(u.shape, dtype=np.bool_)
        count = len(self._dents)
        return self._dents[np.floor(u / self.girdle.length * count).astype(np.int64) % count]
