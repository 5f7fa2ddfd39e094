"""
Which outline the points speak for: every family at its best place,
and waves over the best where they are wanted.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gemcalc.scan.distances import Floats
from gemcalc.scan.families import FAMILIES
from gemcalc.scan.solve import PLACE, Model, settle, tukey_cost
from gemcalc.scan.start import Smooth, starts

FOR_STARTS = 160
FOR_CHOICE = 1000
"""Points looked at: enough to find the place of every outline, and to tell outlines apart."""

WAVE_ORDERS = (3, 4, 6, 8, 11, 15)
"""
Highest waves tried over an outline, in turn;
the search stops when two in a row were not worth their unknowns.
"""


@dataclass(frozen=True)
class Candidate:
    """One outline at its best place; *cost* is the Bayesian information criterion at the common noise."""

    model: Model
    row: Floats
    cost: float


def _scales(noise: float, size: float) -> list[tuple[float, int]]:
    """From a coarse look, in which nothing is an outlier, down to the noise."""
    scales = []
    scale = 0.06 * size
    while scale > 1.6 * noise:
        scales.append((scale, 4))
        scale *= 0.5
    return [*scales, (noise, 12)]


def spread_of(distances: Floats) -> float:
    """Standard deviation of the inliers: what lies within 2.5 of them, corrected for the cut tails."""
    spread = 1.4826 * float(np.median(np.abs(distances)))
    for _ in range(8):
        inside = np.abs(distances) <= max(2.5 * spread, 1e-12)
        spread = float(np.sqrt(np.mean(distances[inside] ** 2))) / 0.9546
    return spread


def thin(points: Floats, most: int) -> Floats:
    """At most *most* of the points, evenly taken in their order."""
    if len(points) <= most:
        return points
    return points[np.linspace(0, len(points) - 1, most).astype(np.intp)]


def _criterion(model: Model, row: Floats, points: Floats, noise: float) -> float:
    misfit = 2 * float(tukey_cost(model.distances(row[None], points)[0], noise))
    return misfit + model.family.rarity + model.unknowns * float(np.log(len(points)))


def candidates(names: Sequence[str], ordered: Floats, smooth: Smooth, noise: float) -> list[Candidate]:
    """Every family at its best place, the likeliest first."""
    few, many = thin(ordered, FOR_STARTS), thin(ordered, FOR_CHOICE)
    size = 2 * float(abs(smooth.waves[0]))
    rough = []
    for name in names:
        model = Model(FAMILIES[name])
        rows = settle(model, starts(model.family, smooth), few, _scales(max(noise, 0.002), size))
        cost = tukey_cost(model.distances(rows, few), max(noise, 0.002))
        best = int(np.argmin(cost))
        rough.append((float(cost[best]), model, rows[best]))
    rough.sort(key=lambda item: item[0])
    found = []
    for _, model, row in rough[:3]:
        row = settle(model, row[None], many, [(4 * noise, 4), (noise, 20)])[0]
        found.append(Candidate(model, row, _criterion(model, row, many, noise)))
    return sorted(found, key=lambda one: one.cost)


def with_waves(best: Candidate, ordered: Floats, noise: float) -> Candidate:
    """The best outline with as many waves over it as the points speak for, none if they do not."""
    many = thin(ordered, FOR_CHOICE)
    worse = 0
    chosen = best
    for waves in WAVE_ORDERS:
        model = Model(best.model.family, waves)
        if model.size * 6 > len(many):
            break
        row = np.zeros(model.size)
        row[: len(chosen.row)] = chosen.row
        row = settle(model, row[None], many, [(4 * noise, 5), (2 * noise, 5), (noise, 15)])[0]
        cost = _criterion(model, row, many, noise)
        if cost < chosen.cost:
            chosen, worse = Candidate(model, row, cost), 0
        else:
            worse += 1
            if worse == 2:
                break
    return chosen


def upright(model: Model, row: Floats) -> Floats:
    """
    The same outline with its length along its own y axis and its turn in the narrowest range that tells it.
    """
    row = row.copy()
    if not model.family.turns:
        row[2] = 0.0
        return row
    if model.family.symmetry == 2 and row[PLACE] < row[PLACE + 1]:
        row[PLACE], row[PLACE + 1] = row[PLACE + 1], row[PLACE]
        row[2] += np.pi / 2
    period = 2 * np.pi / model.family.symmetry
    row[2] = row[2] - period * np.ceil((row[2] - period / 2) / period)
    return row
