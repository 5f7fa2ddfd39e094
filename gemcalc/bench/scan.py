"""Scanned girdles: errors of length, width and turn over seeds and outlines, and the time of a fit."""

from __future__ import annotations

from collections.abc import Iterator
from time import perf_counter

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.scan.distances import Floats
from gemcalc.scan.families import FAMILIES
from gemcalc.scan.fit import fit_girdle
from gemcalc.scan.girdle import outline
from gemcalc.scan.solve import Model

SHAPES: dict[str, tuple[float, ...]] = {
    "round": (6.5,),
    "oval": (8.0, 6.0),
    "superellipse": (7.0, 6.5, 2.8),
    "cushion": (8.0, 6.5, 1.8, 0.25),
    "pear": (9.0, 6.0),
    "marquise": (10.0, 5.0),
    "emerald": (8.0, 6.0, 1.0),
    "princess": (6.0, 5.5),
    "heart": (6.5, 7.0, 1.68),
}
SEEDS = 12
CASES = (
    ("500 points, noise 20 µm, 5 % outliers", 500, 0.02, 0.05, 0.0),
    ("500 points, noise 20 µm, 15 % outliers", 500, 0.02, 0.15, 0.0),
    ("500 points, noise 20 µm, 5 % outliers, a quarter missing", 500, 0.02, 0.05, 0.25),
    ("2000 points, noise 10 µm, 5 % outliers", 2000, 0.01, 0.05, 0.0),
)


def synthetic(
    *, name: str, count: int, noise_mm: float, outliers: float, missing: float, seed: int
) -> tuple[Floats, float]:
    """
    Points along a named outline with normal noise across it, turned and shifted at random,
    and the turn in degrees.

    Args:
        name: The outline's word.
        count: Number of points.
        noise_mm: Noise across the outline, mm.
        outliers: Share of points that lie 0.05 to 0.5 mm off, 0 to 1.
        missing: Share of the outline without points, 0 to 1.
        seed: Seed of the random numbers.

    Source:
        exact-geometry
    """
    rng = np.random.default_rng(seed)
    ring = outline(Model(FAMILIES[name]), np.array([0.0, 0.0, 0.0, *SHAPES[name]]))
    step = np.roll(ring, -1, axis=0) - ring
    length = np.hypot(step[:, 0], step[:, 1])
    place = np.concatenate(([0.0], np.cumsum(length)))
    at = np.mod(rng.uniform() + (1 - missing) * rng.uniform(size=count), 1) * place[-1]
    edge = np.clip(np.searchsorted(place, at, side="right") - 1, 0, len(ring) - 1)
    along = step[edge] / length[edge, None]
    wild = rng.uniform(size=count) < outliers
    far = rng.choice([-1.0, 1.0], count) * rng.uniform(0.05, 0.5, count)
    off = np.where(wild, far, rng.normal(0, noise_mm, count))
    across = np.column_stack((along[:, 1], -along[:, 0]))
    points = ring[edge] + along * (at - place[edge])[:, None] + across * off[:, None]
    turn = rng.uniform(-np.pi, np.pi)
    cos, sin = np.cos(turn), np.sin(turn)
    placed: Floats = points @ np.array([[cos, sin], [-sin, cos]]) + rng.uniform(-3, 3, 2)
    return placed, float(np.degrees(turn))


def _rms(values: Floats) -> float:
    return float(np.sqrt(np.mean(values**2)))


def _one(name: str, count: int, noise: float, outliers: float, missing: float) -> str:
    shape, symmetry = SHAPES[name], FAMILIES[name].symmetry
    sizes = (shape[0], shape[0]) if name == "round" else shape[:2]
    rows, seconds, named, refused = [], [], 0, 0
    for seed in range(SEEDS):
        points, turn = synthetic(
            name=name, count=count, noise_mm=noise, outliers=outliers, missing=missing, seed=seed
        )
        begun = perf_counter()
        try:
            girdle = fit_girdle(points_mm=points)
        except BadInput:
            refused += 1
            continue
        seconds.append(perf_counter() - begun)
        named += girdle.called == name
        period = 360 / symmetry if symmetry else 0.0
        off = (girdle.angle_deg - turn + period / 2) % period - period / 2 if period else 0.0
        rows.append((girdle.figures.length_mm - sizes[0], girdle.figures.width_mm - sizes[1], off))
    table = np.array(rows)
    size_off = 1000 * table[:, :2]
    return (
        f"  {name:13} length {_rms(size_off[:, 0]):5.1f}  width {_rms(size_off[:, 1]):5.1f}  "
        f"worst {np.abs(size_off).max():5.1f} µm   "
        f"turn {_rms(table[:, 2]):.3f}°  worst {np.abs(table[:, 2]).max():.3f}°   "
        f"named {named}/{len(rows)}  refused {refused}   {1000 * float(np.median(seconds)):.0f} ms"
    )


def lines() -> Iterator[str]:
    """
    What was measured, line by line: root mean square errors over 12 seeds, no cut given.

    Source:
        exact-geometry
    """
    fit_girdle(points_mm=synthetic(name="oval", count=200, noise_mm=0.02, outliers=0, missing=0, seed=0)[0])
    for title, count, noise, outliers, missing in CASES:
        yield title
        for name in SHAPES:
            yield _one(name, count, noise, outliers, missing)
