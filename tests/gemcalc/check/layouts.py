"""Halos of equal stones laid by hand: no search, only chords stepped along the path at their distance."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from scipy.optimize import brentq

from gemcalc.halo.check import chain, figures, outlines

Thing = dict[str, Any]

OUTLINES: dict[str, Thing] = {
    "round": {"cut": "round", "diameter_mm": 6.5},
    "oval": {"cut": "oval", "length_mm": 8.0, "width_mm": 6.0},
    "superellipse": {"cut": "superellipse", "length_mm": 7.5, "width_mm": 6.5, "exponent": 2.7},
    "cushion": {
        "cut": "cushion", "length_mm": 7.4, "width_mm": 7.0, "corner_radius_mm": 1.8, "side_bow_mm": 0.3,
    },
    "straight cushion": {
        "cut": "cushion", "length_mm": 8.0, "width_mm": 6.5, "corner_radius_mm": 1.5, "side_bow_mm": 0.0,
    },
    "pear": {"cut": "pear", "length_mm": 9.0, "width_mm": 6.0},
    "marquise": {"cut": "marquise", "length_mm": 10.0, "width_mm": 5.0},
    "emerald": {"cut": "emerald", "length_mm": 8.0, "width_mm": 6.0, "corner_mm": 0.9},
    "princess": {"cut": "princess", "length_mm": 5.5, "width_mm": 5.5},
    "heart": {"cut": "heart", "length_mm": 6.5, "width_mm": 7.0},
    "outline": {
        "cut": "outline",
        "points_mm": [[3.2 * math.cos(t) + 0.2 * math.cos(3 * t), 3.0 * math.sin(t)]
                      for t in np.linspace(0, 2 * math.pi, 90, endpoint=False)],
    },
}  # fmt: skip


def rules(**changes: object) -> Thing:
    """The usual limits."""
    usual: Thing = {
        "clearance_mm": 0.10, "clearance_max_mm": 0.10, "gap_min_mm": 0.03, "gap_max_mm": 0.12,
        "gap_wanted_mm": 0.06, "size_step_max_mm": 0.3, "inside_target_max_mm": 0.10,
        "outside_target_max_mm": 0.10, "row_gap_min_mm": 0.03, "row_gap_max_mm": 0.2,
    }  # fmt: skip
    return {**usual, **changes}


def equal_halo(
    centre: Thing, *, clearance: float = 0.10, wanted: float = 1.30, gap: float = 0.06, **changes: object
) -> tuple[Thing, Thing]:
    """
    Case and layout of equal stones round *centre*, mirrored in the y axis.

    The count is the one that suits a diameter near *wanted*; the diameter is then solved so that the last gap
    closes as the others do.
    """

    count = round(_path(centre, clearance + wanted / 2).length / (wanted + gap))
    diameter = wanted
    for _ in range(12):  # each turn brings it closer by the factor pi / count
        path = _path(centre, clearance + diameter / 2)
        chord = _even_chord(path, count)
        diameter = chord - gap
    points = _walk(path, chord, count)
    case = {
        "centre": centre,
        "target": None,
        "melee": {"sizes_mm": [diameter], "stock": None, "wanted_mm": None},
        "rules": rules(clearance_mm=clearance, clearance_max_mm=clearance + 0.0002, **changes),
        "symmetry": "D1",
        "rows": 1,
    }
    stones = [{"x_mm": x, "y_mm": y, "diameter_mm": diameter, "row": 1} for x, y in points]
    return case, claimed(case, stones, symmetry="D1")


def claimed(case: Thing, stones: list[dict[str, float]], *, symmetry: str) -> Thing:
    """A layout of *stones* with true figures: what the check itself finds, so that damage to them shows."""
    layout: Thing = {
        "feasible": True, "symmetry": symmetry, "stones": stones, "beads": [], "figures": {}, "broken": [],
    }  # fmt: skip
    measured = chain.measure(case=case, layout=layout)
    found = {name: value for name, (value, _) in figures.expected(case=case, m=measured).items()}
    counts: dict[str, int] = {}
    for stone in stones:
        key = f"{stone['diameter_mm']:.6f}"
        counts[key] = counts.get(key, 0) + 1
    layout["figures"] = {**found, "stones": len(stones), "counts": counts}
    return layout


def bead(layout: Thing, *, radius: float = 0.12) -> None:
    """Add one bead outside the first two stones that are neighbours."""
    stones = layout["stones"]
    a, b = stones[0], stones[1]
    reach_a, reach_b = (stone["diameter_mm"] / 2 + radius for stone in (a, b))
    across, up = b["x_mm"] - a["x_mm"], b["y_mm"] - a["y_mm"]
    apart = math.hypot(across, up)
    share = (reach_a**2 - reach_b**2 + apart**2) / (2 * apart)
    height = math.sqrt(reach_a**2 - share**2)
    spots = [
        (
            a["x_mm"] + (share * across - side * height * up) / apart,
            a["y_mm"] + (share * up + side * height * across) / apart,
        )
        for side in (1, -1)
    ]
    x, y = max(spots, key=lambda spot: math.hypot(*spot))
    layout["beads"].append({"x_mm": x, "y_mm": y, "radius_mm": radius})


def _path(centre: Thing, away: float) -> shapely.LinearRing:
    ring = outlines.outline(centre).polygon.simplify(1e-7).buffer(away, quad_segs=400).exterior
    points = np.array(ring.coords)[:-1]
    # Start where the path crosses the y axis at the bottom: a stone sits there, and the rest mirrors.
    below = np.flatnonzero(points[:, 1] < 0)
    start = below[np.abs(points[below, 0]).argmin()]
    points = np.roll(points, -start, axis=0)
    crossing = np.array([0.0, points[0, 1]])
    return shapely.LinearRing(np.vstack([crossing, points[1:], crossing]))


def _walk(path: shapely.LinearRing, chord: float, count: int) -> list[tuple[float, float]]:
    """Stones from the bottom up one half of the path, and their mirror images."""
    points = np.array(path.coords)
    half = points if points[len(points) // 4, 0] > 0 else points[::-1]
    spots = [half[0]]
    place = 0
    while len(spots) <= count // 2:
        here = spots[-1]
        away = np.hypot(*(half[place + 1 :] - here).T)
        beyond = np.flatnonzero(away > chord)
        if not len(beyond):
            return []
        place = place + int(beyond[0])
        a, b = half[place], half[place + 1]
        spots.append(_on_circle(here, chord, a, b))
    return _mirrored(spots, count)


def _mirrored(spots: list[np.ndarray], count: int) -> list[tuple[float, float]]:
    right = [(float(x), float(y)) for x, y in spots]
    last = count // 2
    if count % 2 == 0:
        chain_ = [right[0], *right[1:last], (0.0, right[last][1])]
        return chain_ + [(-x, y) for x, y in reversed(right[1:last])]
    chain_ = right[: last + 1]
    return chain_ + [(-x, y) for x, y in reversed(right[1 : last + 1])]


def _on_circle(here: np.ndarray, chord: float, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    d, f = b - a, a - here
    qa, qb, qc = d @ d, 2 * f @ d, f @ f - chord * chord
    return a + d * ((-qb + math.sqrt(max(qb * qb - 4 * qa * qc, 0.0))) / (2 * qa))


def _even_chord(path: shapely.LinearRing, count: int) -> float:
    """The chord with which *count* steps close: half of them bring the walk to the y axis at the top."""
    longest = path.length / count
    short = lambda chord: _half_walk_end(path, chord, count)  # noqa: E731
    return float(brentq(short, 0.9 * longest, 1.02 * longest, xtol=1e-11))


def _half_walk_end(path: shapely.LinearRing, chord: float, count: int) -> float:
    """How far short of the top (mm across) the half walk ends: positive short, negative past it."""
    points = np.array(path.coords)
    half = points if points[len(points) // 4, 0] > 0 else points[::-1]
    here, place = half[0], 0
    for _ in range(count // 2):
        away = np.hypot(*(half[place + 1 :] - here).T)
        beyond = np.flatnonzero(away > chord)
        if not len(beyond):
            return -1.0
        place += int(beyond[0])
        here = _on_circle(here, chord, half[place], half[place + 1])
        if here[0] < 0 and here[1] > half[0, 1] + 1.0:
            return float(here[0])
    return float(here[0]) if count % 2 == 0 else float(2 * here[0] - chord)
