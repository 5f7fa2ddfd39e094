"""
Synthetic scans for the tests: outlines built by set algebra (shapely),
points sampled along them, noise across them.

Nothing here comes from the code under test.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon, affinity, box
from shapely.geometry import Point

Floats = NDArray[np.float64]
FINE = 2000


def disc(x: float, y: float, radius: float) -> Polygon:
    """A disc as a polygon of 8000 corners (sagitta about 1e-7 of its radius)."""
    return Point(x, y).buffer(radius, quad_segs=FINE)


def lens(half_width: float, height: float) -> Polygon:
    """Two equal arcs through (0, ±height) and (±half width, 0)."""
    radius = (half_width**2 + height**2) / (2 * half_width)
    return disc(half_width - radius, 0, radius).intersection(disc(radius - half_width, 0, radius))


def cushion(length: float, width: float, corner: float, bow: float) -> Polygon:
    """Four large discs in common, opened by a disc of the corner's radius."""
    half_length, half_width = length / 2, width / 2
    side = ((half_length - bow) ** 2 + bow**2) / (2 * bow)
    top = ((half_width - bow) ** 2 + bow**2) / (2 * bow)
    inner = disc(half_width - side, 0, side - corner).intersection(disc(side - half_width, 0, side - corner))
    inner = inner.intersection(disc(0, half_length - top, top - corner))
    inner = inner.intersection(disc(0, top - half_length, top - corner))
    return inner.buffer(corner, quad_segs=FINE)


def pear(length: float, width: float) -> Polygon:
    """Half a disc below the widest line, half a lens above it."""
    half = width / 2
    above = lens(half, length - half).intersection(box(-length, 0, length, 2 * length))
    return disc(0, 0, half).intersection(box(-length, -length, length, 0)).union(above)


def heart(length: float, width: float, lobe: float) -> Polygon:
    """Two half discs above, half a lens below."""
    half = width / 2
    radius = half - lobe
    above = disc(lobe, 0, radius).union(disc(-lobe, 0, radius)).intersection(box(-length, 0, length, length))
    below = lens(half, length - radius).intersection(box(-length, -2 * length, length, 0))
    return above.union(below)


def superellipse(length: float, width: float, power: float) -> Polygon:
    """The curve |x/a|^p + |y/b|^p = 1, by its polar radius."""
    turn = np.linspace(0, 2 * np.pi, 16001)[:-1]
    cos, sin = np.cos(turn), np.sin(turn)
    radius = (np.abs(2 * cos / width) ** power + np.abs(2 * sin / length) ** power) ** (-1 / power)
    return Polygon(np.column_stack((radius * cos, radius * sin)))


def emerald(length: float, width: float, corner: float) -> Polygon:
    """A rectangle with its corners cut at 45°."""
    a, b, c = width / 2, length / 2, corner
    return Polygon(
        [(a, b - c), (a - c, b), (c - a, b), (-a, b - c), (-a, c - b), (c - a, -b), (a - c, -b), (a, c - b)]
    )


def ellipse(length: float, width: float) -> Polygon:
    """A disc stretched."""
    return affinity.scale(disc(0, 0, 1), width / 2, length / 2)


def rectangle(length: float, width: float) -> Polygon:
    """Sharp corners."""
    return box(-width / 2, -length / 2, width / 2, length / 2)


@dataclass(frozen=True)
class Stone:
    """An outline by its builder and true numbers; *period_deg* is the turn that maps it to itself (0: any)."""

    name: str
    build: Callable[..., Polygon]
    numbers: tuple[float, ...]
    period_deg: float

    @cached_property
    def shape(self) -> Polygon:
        """The true outline in its own frame."""
        return self.build(*self.numbers)

    @property
    def length(self) -> float:
        """True length, mm."""
        return self.numbers[0]

    @property
    def width(self) -> float:
        """True width, mm."""
        return self.numbers[min(1, len(self.numbers) - 1)]


STONES = {
    stone.name: stone
    for stone in (
        Stone("round", lambda diameter: disc(0, 0, diameter / 2), (6.5,), 0),
        Stone("oval", ellipse, (8, 6), 180),
        Stone("superellipse", superellipse, (7, 6.5, 2.8), 180),
        Stone("cushion", cushion, (8, 6.5, 1.8, 0.25), 180),
        Stone("pear", pear, (9, 6), 360),
        Stone("marquise", lambda length, width: lens(width / 2, length / 2), (10, 5), 180),
        Stone("emerald", emerald, (8, 6, 1), 180),
        Stone("princess", rectangle, (5.5, 5.5), 90),
        Stone("heart", heart, (6.5, 7, 1.68), 360),
    )
}


@dataclass(frozen=True)
class Scan:
    """
    Points of one scan, the stone's place and turn (degrees anticlockwise), and which points are outliers.
    """

    points: Floats
    centre: Floats
    turn_deg: float
    wild: NDArray[np.bool_]


def scan(
    shape: Polygon, *, count: int, noise: float, seed: int, outliers: float = 0.0, missing: float = 0.0
) -> Scan:
    """
    Points at random places along the outline, off by normal noise across it; outliers are 0.05 to 0.5 mm off.
    """
    rng = np.random.default_rng(seed)
    ring = np.asarray(shapely.get_coordinates(shape.exterior))
    step = np.diff(ring, axis=0)
    length = np.hypot(*step.T)
    step, start, length = step[length > 0], ring[:-1][length > 0], length[length > 0]
    place = np.concatenate(([0.0], np.cumsum(length)))
    at = np.mod(rng.uniform() + (1 - missing) * rng.uniform(size=count), 1) * place[-1]
    edge = np.clip(np.searchsorted(place, at, side="right") - 1, 0, len(length) - 1)
    along = step[edge] / length[edge, None]
    wild = rng.uniform(size=count) < outliers
    off = np.where(
        wild, rng.choice([-1, 1], count) * rng.uniform(0.05, 0.5, count), rng.normal(0, noise, count)
    )
    across = np.column_stack((along[:, 1], -along[:, 0])) * (1 if shape.exterior.is_ccw else -1)
    points = start[edge] + along * (at - place[edge])[:, None] + across * off[:, None]
    turn, centre = rng.uniform(-np.pi, np.pi), rng.uniform(-3, 3, 2)
    cos, sin = np.cos(turn), np.sin(turn)
    return Scan(points @ np.array([[cos, sin], [-sin, cos]]) + centre, centre, float(np.degrees(turn)), wild)


def sizes_off(stone: Stone, length: float, width: float) -> tuple[float, float]:
    """Errors of length and width, mm; where a stone has no long side, of the larger and the smaller."""
    if stone.period_deg == 360:
        return length - stone.length, width - stone.width
    long, short = max(length, width), min(length, width)
    return long - max(stone.length, stone.width), short - min(stone.length, stone.width)


def turn_off(stone: Stone, found_deg: float, true_deg: float) -> float:
    """Error of the turn, degrees, within the stone's own symmetry."""
    if not stone.period_deg:
        return 0.0
    return (found_deg - true_deg + stone.period_deg / 2) % stone.period_deg - stone.period_deg / 2
