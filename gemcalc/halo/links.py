"""
The links of the grid: which place can follow which, and what the pair costs.

A row of links belongs to one place and one size of the stone after it; its columns are neighbouring cells.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from gemcalc.halo import objective
from gemcalc.halo.grid import FLOAT_SLACK, Places
from gemcalc.halo.sector import RowProblem
from gemcalc.halo.sweep import Block, blocks

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]

FAR_MM = 1e6
VALLEY = 1.6
"""Cells looked at for a gap's whole band, as a multiple of the band, where an outline has dents and stones float."""


@dataclass(frozen=True)
class Links:
    """
    Args:
        places: The places linked.
        node: Place before, as cell * sizes + size, rising, per row.
        after: Size of the stone after, per row.
        first: First cell of the stone after, per row.
        cost: Cost of the pair, [column, row]; infinite where the gap is off its band.
        row: Row number of [size before, size after, cell before]; -1 where there is none.
        start: First cell after, of [size before, size after, cell before], never falling along the cells.
        advance: Least number of cells between two neighbours.
        follows: Which sizes may stand next to each.
        sweep: The rows in blocks that a sweep from the end can settle at one go, last block first.
        turned: Pairs already looked at from the stone after.
    """

    places: Places
    node: Ints
    after: Ints
    first: Ints
    cost: Floats
    row: Ints
    start: Ints
    advance: int
    follows: tuple[tuple[int, ...], ...]
    sweep: tuple[Block, ...]
    turned: dict[tuple[int, int], tuple[int, Ints, Floats]] = field(default_factory=dict)

    def into(self, before: int, after: int) -> tuple[int, Ints, Floats]:
        """
        The links of a pair of sizes seen from the stone after.

        Returns:
            The first cell after that any link reaches; from there on, the first cell before by cell after, and the
            cost from it and the cells next to it, [column, cell after]. Empty where there are no links.
        """
        key = (before, after)
        if key not in self.turned:
            width, (columns, rows) = self.places.x.shape[1], self.cost.shape
            row = self.row[before, after]
            linked = np.flatnonzero(row >= 0)
            if not len(linked):
                self.turned[key] = (0, linked, np.zeros((0, 0)))
                return self.turned[key]
            k0, k1 = int(linked[0]), int(linked[-1]) + 1
            start, row = self.start[before, after, k0:k1], row[k0:k1]
            base = int(start[0])
            cells = np.arange(base, min(width, int(start[-1]) + columns))
            low = np.searchsorted(start + (columns - 1), cells)
            high = np.searchsorted(start, cells, side="right")
            span = max(1, int(np.max(high - low)))
            source = low + np.arange(span)[:, None]
            inside = source < high
            np.minimum(source, k1 - k0 - 1, out=source)
            found = row[source]
            inside &= found >= 0
            column = cells - start[source]
            column *= rows
            column += found
            column[~inside] = 0
            cost = self.cost.ravel().take(column)
            cost[~inside] = np.inf
            self.turned[key] = (base, low + k0, cost)
        return self.turned[key]


def _advance(
    places: Places, before: Ints, after: Ints, knots: Ints, apart: Floats, offset: Floats, turns: int
) -> Floats:
    """
    Cells from places to where the next stone's middle is *apart*, by the secant method on the chord.

    All arguments but the places have one value for each question.
    """
    x, y = places.x, places.y
    last = x.shape[1] - 1
    ax, ay = x[before, knots], y[before, knots]
    # Beyond the last cell the line is carried straight on: such links fall away afterwards.
    tail_x, tail_y = x[:, last] - x[:, last - 1], y[:, last] - y[:, last - 1]
    flat_x, flat_y = x.ravel(), y.ravel()

    def chord(where: Floats) -> Floats:
        cell = np.minimum(where.astype(np.int64), last - 1)
        share = where - cell
        over = np.maximum(share - 1.0, 0.0)
        share -= over
        at = after * (last + 1) + cell
        bx, by = flat_x[at], flat_y[at]
        bx += share * (flat_x[at + 1] - bx) + over * tail_x[after]
        by += share * (flat_y[at + 1] - by) + over * tail_y[after]
        return np.asarray(np.hypot(bx - ax, by - ay))

    least = 0.3 * places.step
    farthest = 4.0 * apart / places.step
    here = chord(knots + offset)
    slope = np.maximum(chord(knots + offset + 1.0) - here, least)
    for turn in range(turns):
        step = np.clip((apart - here) / slope, -offset + 1.0, farthest)
        offset = offset + step
        if turn + 1 < turns:
            there = chord(knots + offset)
            moved = np.abs(step) > 0.5
            slope = np.where(moved, np.maximum((there - here) / np.where(moved, step, 1.0), least), slope)
            here = there
    return offset


def _counted(alive: npt.NDArray[np.bool_]) -> Ints:
    """How many places of each size are alive before each cell, and in all."""
    counted = np.zeros((alive.shape[0], alive.shape[1] + 1), dtype=np.int64)
    counted[:, 1:] = np.cumsum(alive, axis=1)
    return counted


def _starts(
    problem: RowProblem, places: Places, before: Ints, after: Ints, least: float, most: float
) -> tuple[Ints, int]:
    """First cell after for each pair and cell before, never falling along the cells, and the columns needed."""
    width = places.x.shape[1]
    stride = 8 if problem.girdle.convex and not problem.inner_rays else 1
    knots = np.arange(0, width + stride - 1, stride, dtype=np.int64)
    knots[-1] = width - 1
    # Only where the stone before can stand is the answer needed.
    alive = places.alive
    count = _counted(alive)
    near_by = count[:, np.minimum(knots + stride, width)] > count[:, np.maximum(knots - stride, 0)]
    pair, knot = np.nonzero(near_by[before])
    a, b, cell = before[pair], after[pair], knots[knot]
    touch = problem.radii[a] + problem.radii[b]
    # Without any allowance for the smallest gap two stones would merge; half a radius is far beyond any slack.
    close = np.maximum(touch + least, 0.5 * touch)
    first = _advance(places, a, b, cell, close, close / places.step, 5)
    second = _advance(places, a, b, cell, touch + most, first + (touch + most - close) / places.step, 3)
    near = np.repeat(
        (problem.radii[before] + problem.radii[after])[:, None] / places.step, len(knots), axis=1
    )
    near[pair, knot] = first
    cells = np.arange(width)
    if stride > 1:
        left = np.minimum(cells // stride, len(knots) - 2)
        share = (cells - knots[left]) / np.maximum(knots[left + 1] - knots[left], 1)
        near = near[:, left] + share * (near[:, left + 1] - near[:, left])
    start = np.maximum.accumulate(cells + np.maximum(np.floor(near).astype(np.int64) - 1, 1), axis=1)
    columns = math.ceil(float(np.max(second - first, initial=1.0))) + 4
    # In the valleys of an inner row a stone hardly moves along: what is gained there would cost most of the time,
    # and round an inner row nothing is proved anyway.
    wide = 6.0 if problem.girdle.convex or problem.float_max == 0 else VALLEY
    return start, max(2, min(columns, math.ceil(wide * (most - least) / places.step) + 6))


def _band(problem: RowProblem, limit: float, slack: float) -> tuple[float, float]:
    """Least and largest gap worth a link: inside the rules, and not alone dearer than *limit*."""
    least, most = problem.gap_min - slack, problem.gap_max + slack
    if math.isfinite(limit) and problem.float_max == 0:
        worth = objective.GAP_MM * math.sqrt(max(limit, 0.0)) + slack
        least, most = max(least, problem.gap_wanted - worth), min(most, problem.gap_wanted + worth)
    return least, max(most, least + slack)


def _spread(
    problem: RowProblem,
    places: Places,
    before: tuple[Ints, Ints],
    flat: Ints,
    way: tuple[Floats, Floats, Floats],
    opening: npt.NDArray[np.bool_],
) -> Floats:
    """What a squared gap miss is divided by, where both stones may float to mend it."""
    width = places.x.shape[1]
    wide = width + int(flat.shape[0])

    def after(values: Floats) -> Floats:
        padded = np.zeros((places.sizes, wide))
        padded[:, :width] = values
        return np.asarray(padded.ravel().take(flat))

    dx, dy, apart = way
    # A float moves a stone along its normal: it mends a gap as far as the normal leans along the chord.
    lean = places.nx[before] * dx
    lean += places.ny[before] * dy
    lean *= lean
    lean *= 2 / places.stiffness[before]
    beyond = after(places.nx) * dx
    beyond += after(places.ny) * dy
    beyond *= beyond
    beyond *= after(2 / places.stiffness)
    lean += beyond
    lean /= apart * apart
    if problem.target is None:
        # A stone that stands at the clearance cannot sink to close a gap that is too wide.
        lean[~opening] = 0.0
    lean += objective.GAP_MM**2
    return lean


def links(problem: RowProblem, places: Places, *, limit: float = math.inf) -> Links:
    """
    All links of a row's places; see the module.

    Args:
        problem: The row.
        places: Its places.
        limit: Links that cost more are left out: no chain that costs less can hold them.
    """
    radii, sizes = problem.radii, places.sizes
    width = places.x.shape[1]
    allowed = [
        (a, b)
        for a in range(sizes)
        for b in range(sizes)
        if abs(problem.sizes[a] - problem.sizes[b]) <= problem.step_max + 1e-9
        and float(objective.step_cost(problem.sizes[a] - problem.sizes[b])) <= limit + 1e-9
    ]
    before, after = (np.array(side, dtype=np.int64) for side in zip(*allowed, strict=True))
    slack = 2 * places.step + (FLOAT_SLACK if problem.float_max > 0 else 0.0)
    least, most = _band(problem, limit, slack)
    start, columns = _starts(problem, places, before, after, least, most)
    count = _counted(places.alive)
    reached = (
        count[after[:, None], np.minimum(start + columns, width)]
        > count[after[:, None], np.minimum(start, width)]
    )
    live = places.alive[before] & reached
    row_cell, row_pair = np.nonzero(live.T)
    # Rows are ordered by cell, then size before: the places of one block of cells lie together.
    order = np.lexsort((after[row_pair], before[row_pair], row_cell))
    row_cell, row_pair = row_cell[order], row_pair[order]
    a, b, first = before[row_pair], after[row_pair], start[row_pair, row_cell]
    # Dead places, and those beyond the last cell, lie far away: no gap to them is ever right.
    wide = width + columns
    at_x, at_y = np.full((sizes, wide), FAR_MM), np.full((sizes, wide), FAR_MM)
    at_x[:, :width] = np.where(places.alive, places.x, FAR_MM)
    at_y[:, :width] = places.y
    flat = b * wide + np.minimum(first, width) + np.arange(columns)[:, None]
    dx, dy = at_x.ravel().take(flat), at_y.ravel().take(flat)
    dx -= places.x[a, row_cell]
    dy -= places.y[a, row_cell]
    apart = dx * dx
    apart += dy * dy
    np.sqrt(apart, out=apart)
    miss = apart - (radii[a] + radii[b] + problem.gap_wanted)
    usable = (miss >= least - problem.gap_wanted) & (miss <= most - problem.gap_wanted)
    cost = miss * miss
    if problem.float_max > 0:
        cost /= _spread(problem, places, (a, row_cell), flat, (dx, dy, apart), miss < 0)
    else:
        cost *= 1 / objective.GAP_MM**2
    cost += objective.step_cost(problem.sizes[b] - problem.sizes[a])
    # Rounding to the grid may make one link dearer than it is, though not the whole chain.
    usable &= cost <= (math.sqrt(max(limit, 0.0)) + 2 * places.step / objective.GAP_MM) ** 2
    pins = places.pins[0 if problem.sector.cyclic else 2 :]
    if pins:
        target = first + np.arange(columns)[:, None]
        for pin in pins:
            for shift in (0, places.cells) if problem.sector.cyclic else (0,):
                usable &= ~((row_cell < pin.cell[a] + shift) & (target > pin.cell[b] + shift))
    cost[~usable] = np.inf
    keep = usable.any(axis=0)
    a, b, first, row_cell = a[keep], b[keep], first[keep], row_cell[keep]
    cost = np.ascontiguousarray(cost[:, keep])
    row = np.full((sizes, sizes, width), -1, dtype=np.int64)
    row[a, b, row_cell] = np.arange(len(a))
    starts = np.zeros((sizes, sizes, width), dtype=np.int64)
    starts[before, after] = start
    follows = tuple(tuple(q for p, q in allowed if p == size) for size in range(sizes))
    node = row_cell * sizes + a
    advance = max(1, int(np.min(first - row_cell, initial=width)))
    return Links(
        places=places,
        node=node,
        after=b,
        first=first,
        cost=cost,
        row=row,
        start=starts,
        advance=advance,
        follows=follows,
        sweep=tuple(blocks(node, first, b, (sizes, width), columns, advance)),
    )
