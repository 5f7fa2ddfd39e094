"""
The highest point of a sum of ramps, with no grid to fall through.

No ramp ever falls, so over any stretch of turning the hidden share
can rise by no more than its coming ramps do.
That bound leads a branch and bound search; what is left when it is as
good as closed is sharpened to the last digits.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gemcalc.covered import FULL, Floats, Ramps, Whole

CELLS = 360
SPLIT = 16
MOST_ROUNDS = 6
MOST_WORK = 40_000
PEAKS = 4
SHARPEN = 4
EVEN = 1e-9
NEAR = 1e-4
"""
The search ends when no turn can hide more than this above the best known;
then the peaks that are left are sharpened.
"""


def _first_rises(passings: Ramps) -> tuple[Whole, Whole, Floats]:
    """Every passing in every cell that it touches: which, where, by how much of the disc it rises there."""
    size = FULL / CELLS
    first = np.maximum(((passings.at - passings.reach) // size).astype(np.intp), 0)
    last = np.minimum(((passings.at + passings.reach) // size).astype(np.intp), CELLS - 1)
    nodes = np.maximum(last - first, 0) + 2
    passing = np.repeat(np.arange(len(nodes)), nodes)
    before = np.cumsum(nodes) - nodes
    node = np.arange(len(passing)) + np.repeat(first - before, nodes)
    share = passings.share(passing, node * size - passings.at[passing])
    inside = np.ones(len(passing), dtype=bool)
    inside[before + nodes - 1] = False
    inside = inside[:-1]
    return passing[:-1][inside], node[:-1][inside], np.diff(share)[inside]


@dataclass
class _Parts:
    """
    Equal stretches of turning still in question: where they start (rad),
    the share there and at their ends, its bound.
    """

    size: float
    start: Floats
    left: Floats
    right: Floats
    bound: Floats


def _parts(
    passings: Ramps, start: Floats, size: float, left: Floats, rise: tuple[Whole, Whole, Floats]
) -> _Parts:
    """
    The stretches from what rises in each; *left* is the share at the start of every run of parts (runs, 1).
    """
    passing, slot, amount = rise
    count = len(start)
    weighted = amount * passings.weights[passings.mark[passing]]
    signed = weighted * passings.sign[passing]
    total = np.bincount(slot, weights=weighted, minlength=count)
    change = np.bincount(slot, weights=signed, minlength=count)
    right: Floats = (left + np.cumsum(change.reshape(len(left), -1), axis=1)).ravel()
    # Within a part the share rises by what comes under the claws there, and by no more.
    coming = (total + change) / 2
    return _Parts(size, start, right - change, right, right - change + coming)


def highest_turn(passings: Ramps, known: float) -> tuple[float, float, float]:
    """
    The best turn by branch and bound, where it is better than the *known* share.

    Returns:
        Turn (rad, −1 where none is better), its share, and how much more any turn could hide at most.
    """
    rise = _first_rises(passings)
    left: Floats = np.asarray(passings.hidden(np.zeros(1)), dtype=np.float64)
    first: Floats = np.arange(CELLS, dtype=np.float64) * (FULL / CELLS)
    parts = _parts(passings, first, FULL / CELLS, left[:, None], rise)
    best, at, dropped = known, -1.0, 0.0
    for _ in range(MOST_ROUNDS):
        top = int(np.argmax(parts.right))
        if parts.right[top] > best + EVEN:
            best, at = float(parts.right[top]), float(parts.start[top] + parts.size)
        questioned = parts.bound > best + EVEN
        kept = questioned[rise[1]] & (rise[2] > 0)
        passing, slot = rise[0][kept], rise[1][kept]
        if not len(slot) or float(parts.bound[slot].max()) <= best + NEAR:
            break
        if len(passing) * SPLIT > MOST_WORK:
            work = np.cumsum(np.bincount(slot, minlength=len(parts.start))[order := np.argsort(-parts.bound)])
            out = order[work * SPLIT > MOST_WORK]
            dropped = max(dropped, float(parts.bound[out].max()))
            questioned[out] = False
            kept = questioned[slot]
            passing, slot = passing[kept], slot[kept]
        used, run = np.unique(slot, return_inverse=True)
        size = parts.size / SPLIT
        start = parts.start[used, None] + np.arange(SPLIT) * size
        edges = parts.start[slot, None] + np.arange(SPLIT + 1) * size
        share = passings.share(passing, edges - passings.at[passing, None])
        rise = (
            np.repeat(passing, SPLIT),
            (run[:, None] * SPLIT + np.arange(SPLIT)).ravel(),
            np.diff(share, axis=1).ravel(),
        )
        parts = _parts(passings, start.ravel(), size, parts.left[used, None], rise)
    bound = max(dropped, float(parts.bound.max()))
    at, best = _sharpened(passings, parts, at, best)
    return at, best, max(bound - best, 0.0)


def _sharpened(passings: Ramps, parts: _Parts, at: float, best: float) -> tuple[float, float]:
    """
    The highest peak in the stretches still in question and round *at* (rad,
    −1 where a plateau holds the best).
    """
    open_parts = np.flatnonzero(parts.bound > best + EVEN)
    turns = np.array([at] if at >= 0 else [])
    if len(open_parts):
        # Neighbouring stretches share one peak: it lies beside the highest end among them.
        group = np.concatenate(([0], np.cumsum(np.diff(parts.start[open_parts]) > 1.5 * parts.size)))
        order = np.lexsort((parts.right[open_parts], group))
        tops = open_parts[order[np.append(np.diff(group[order]) > 0, True)]]
        tops = tops[np.argsort(-parts.right[tops])[:PEAKS]]
        turns = np.append(turns, parts.start[tops] + parts.size)
    reach = parts.size
    for _ in range(SHARPEN if len(turns) else 0):
        table = turns[:, None] + reach * np.linspace(-1, 1, 9)
        hidden = passings.hidden(table.ravel()).reshape(table.shape)
        place = np.argmax(hidden, axis=1)
        turns = table[np.arange(len(turns)), place]
        reach /= 4
        top = int(np.argmax(hidden[np.arange(len(turns)), place]))
        if hidden[top, place[top]] > best + EVEN or (at >= 0 and hidden[top, place[top]] > best):
            best, at = float(hidden[top, place[top]]), float(turns[top])
    return at, best
