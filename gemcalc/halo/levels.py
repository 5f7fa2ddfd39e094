"""Sequences of sizes as they grow stone by stone, all of one length together."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass
class Level:
    """
    All sequences of one length: last size, cost so far, and the row each came from in the level before.

    Costs are kept as [cell, row], so that a step of all rows at once runs along the memory.
    """

    last: Ints
    cost: Floats
    parent: Ints
    used: Ints
    base: int


@dataclass
class Part:
    """Sequences with one size added: that size, cost [cell, row], the first cell, the rows they came from, bounds."""

    size: int
    cost: Floats
    first: int
    rows: Ints
    bound: Floats


@dataclass(frozen=True)
class End:
    """Where a sequence ends: its cost, its level, row and cell."""

    cost: float
    depth: int
    row: int
    cell: int


AT_ONCE = 6000
"""Up to how many numbers a step of a level is done with all its links at once; beyond, link by link."""


def cheapest(front: Floats, source: Ints, pair: Floats) -> Floats:
    """Cheapest way to each cell after from *source* and the cells next to it, by [cell after, row]."""
    side, cells = pair.shape
    if side * cells * front.shape[1] <= AT_ONCE:
        value = front.take(source + np.arange(side)[:, None], axis=0)
        value += pair[:, :, None]
        return np.asarray(value.min(axis=0))
    best = front.take(source, axis=0)
    best += pair[0][:, None]
    value = np.empty_like(best)
    for column in range(1, side):
        front.take(source + column, axis=0, out=value, mode="clip")
        value += pair[column][:, None]
        np.minimum(best, value, out=best)
    return best
