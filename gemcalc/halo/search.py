"""
The cheapest chains on the grid: cost to go from every place, and every sequence of sizes worth refining.

Many chains share one sequence of sizes; sequences, not chains, are listed, each with a bound that no refined
chain of it can undercut.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from gemcalc.halo import objective
from gemcalc.halo.links import Links, cost_to_go
from gemcalc.halo.sector import RowProblem

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Sequence:
    """Sizes in order, whether the first and last stand on the axes, starting places, bound, stones used by size."""

    sizes: tuple[int, ...]
    on_axis: tuple[bool, bool]
    u: Floats
    pins: tuple[int, ...]
    bound: float
    used: tuple[int, ...]

    @property
    def key(self) -> tuple[object, ...]:
        """What makes it different from others."""
        return (self.sizes, self.on_axis, self.pins)


@dataclass
class Listing:
    """Sequences found, rising by bound; *complete* when none within the limit was dropped for want of room."""

    found: list[Sequence] = field(default_factory=list)
    complete: bool = True


_Part = tuple[int, Floats, Ints, int, Ints]
"""Sequences with one size added: that size, cost and cell before by cell, the first cell, rows they came from."""


@dataclass
class _Level:
    """All sequences of one length: last size, cost so far by cell, the cell before, and where each came from."""

    last: Ints
    cost: Floats
    back: Ints
    parent: Ints
    used: Ints
    base: int


def _weights(problem: RowProblem, links: Links) -> Ints:
    """How many stones of the whole halo one place stands for, [size, cell]."""
    copies = problem.sector.copies
    weight = np.full(links.places.x.shape, copies, dtype=np.int64)
    if not problem.sector.cyclic:
        rows = np.arange(links.places.sizes)
        for pin in links.places.pins[:2]:
            weight[rows, pin.cell] = copies // 2
    return weight


class Search:
    """Lists the size sequences of one row in order of their bounds."""

    def __init__(self, problem: RowProblem, links: Links) -> None:
        self.problem = problem
        self.links = links
        self.weight = _weights(problem, links)
        self.finish = links.places.finish
        self.begin = links.places.begin
        self.prices = np.zeros(links.places.sizes)
        self.steps = objective.step_cost(problem.sizes[:, None] - problem.sizes)
        self.price(self.prices)

    def price(self, prices: Floats) -> None:
        """Charge each stone of a size its price and compute the costs to go anew."""
        self.prices = prices
        self.charged = prices[:, None] * self.weight
        self.own = self.links.places.cost + self.charged
        self.go = cost_to_go(self.links, self.finish, self.charged)
        self.onward = self.own + self.go
        live = np.isfinite(self.go)
        width = live.shape[1]
        self.span = np.stack((np.argmax(live, axis=1), width - 1 - np.argmax(live[:, ::-1], axis=1)), axis=1)
        self.span[~live.any(axis=1)] = (1, 0)
        stock = self.problem.stock
        self.rebate = 0.0 if stock is None else float(np.sum(prices * stock))

    def least(self) -> float:
        """Least cost of any chain on the grid, stock counted at its prices."""
        return float(np.min(self.begin + self.own + self.go)) - self.rebate

    def cheapest_use(self) -> Ints:
        """How many stones of each size the cheapest chain on the grid takes, stock or no stock."""
        links, sizes = self.links, self.links.places.sizes
        used = np.zeros(sizes, dtype=np.int64)
        size, cell = (
            int(i) for i in np.unravel_index(np.argmin(self.begin + self.own + self.go), self.go.shape)
        )
        total = self.own + self.go
        columns = np.arange(links.cost.shape[1])
        while True:
            used[size] += self.weight[size, cell]
            best, step = float(self.finish[size, cell]), (-1, -1)
            for b in links.follows[size]:
                row = int(links.row[size, b, cell])
                if row >= 0:
                    cells = np.minimum(links.first[row] + columns, total.shape[1] - 1)
                    value = links.cost[row] + total[b, cells]
                    at = int(np.argmin(value))
                    if float(value[at]) < best:
                        best, step = float(value[at]), (b, int(cells[at]))
            if step[0] < 0:
                return used
            size, cell = step

    def _first(self, limit: float) -> _Level:
        places = self.links.places
        cost = self.begin + self.own
        cost[cost + self.go > limit] = np.inf
        live = np.nonzero(np.isfinite(cost).any(axis=1))[0]
        used = np.zeros((len(live), places.sizes), dtype=np.int64)
        return _Level(
            last=live,
            cost=cost[live],
            back=np.full(cost[live].shape, -1),
            parent=np.full(len(live), -1),
            used=used,
            base=0,
        )

    def _extend(self, level: _Level, limit: float, room: int) -> tuple[_Level, bool]:
        """All sequences one stone longer, cut to the *room* best; and whether none was cut."""
        links, places = self.links, self.links.places
        width, columns = places.x.shape[1], links.cost.shape[1]
        parts: list[_Part] = []
        for a in np.unique(level.last):
            rows = np.nonzero(level.last == a)[0]
            front = level.cost[rows]
            cells = np.nonzero(np.isfinite(front).any(axis=0))[0]
            if len(cells) == 0:
                continue
            k0, k1 = level.base + int(cells[0]), level.base + int(cells[-1])
            front = front[:, cells[0] : cells[-1] + 1]
            edged: dict[int, Floats] = {}
            spare = limit - float(np.min(front))
            for b in links.follows[a]:
                t0 = max(int(links.start[a, b, k0]), int(self.span[b, 0]))
                t1 = min(int(links.start[a, b, k1]) + columns - 1, width - 1, int(self.span[b, 1]))
                if t0 > t1:
                    continue
                # Where even the cheapest link from the cheapest front is too dear nothing need be looked at.
                hopeful = np.flatnonzero(self.onward[b, t0 : t1 + 1] <= spare - self.steps[a, b])
                if not len(hopeful):
                    continue
                t0, t1 = t0 + int(hopeful[0]), t0 + int(hopeful[-1])
                low, pair = links.into(a, b)
                pair = pair[t0 : t1 + 1]
                side = pair.shape[1]
                if side not in edged:
                    edged[side] = np.full((len(front), front.shape[1] + 2 * side), np.inf)
                    edged[side][:, side:-side] = front
                # Cells before that lie outside the front are met in its infinite edge.
                source = np.minimum(np.maximum(low[t0 : t1 + 1, None] - k0, -side), k1 - k0 + 1) + np.arange(
                    side, 2 * side
                )
                value = edged[side][:, np.minimum(source, edged[side].shape[1] - 1)]
                value += pair
                best = np.argmin(value, axis=2)
                cost = value.reshape(-1, side)[np.arange(best.size), best.ravel()].reshape(best.shape)
                cost[cost + self.onward[b, t0 : t1 + 1] > limit] = np.inf
                cost += self.own[b, t0 : t1 + 1]
                keep = np.nonzero(np.isfinite(cost).any(axis=1))[0]
                if len(keep):
                    parts.append((b, cost[keep], low[t0 : t1 + 1] + best[keep], t0, rows[keep]))
        return self._gather(level, parts, room)

    def _gather(self, level: _Level, parts: list[_Part], room: int) -> tuple[_Level, bool]:
        sizes = self.links.places.sizes
        if not parts:
            empty = np.zeros(0, dtype=np.int64)
            return _Level(
                empty,
                np.zeros((0, 1)),
                np.zeros((0, 1), dtype=np.int64),
                empty,
                np.zeros((0, sizes), dtype=np.int64),
                0,
            ), True
        bounds = [np.min(cost + self.go[b, t0 : t0 + cost.shape[1]], axis=1) for b, cost, _, t0, _ in parts]
        merged = np.concatenate(bounds)
        chosen = np.arange(len(merged))
        if len(merged) > room:
            chosen = np.sort(np.argsort(merged, kind="stable")[:room])
        base = min(t0 for _, _, _, t0, _ in parts)
        stop = max(t0 + cost.shape[1] for _, cost, _, t0, _ in parts)
        shape = (len(chosen), stop - base)
        kept_cost, kept_back = np.full(shape, np.inf), np.full(shape, -1, dtype=np.int64)
        last, parent = np.zeros(len(chosen), dtype=np.int64), np.zeros(len(chosen), dtype=np.int64)
        first = 0
        for b, cost, back, t0, rows in parts:
            low, high = np.searchsorted(chosen, (first, first + len(cost)))
            picked = chosen[low:high] - first
            kept_cost[low:high, t0 - base : t0 - base + cost.shape[1]] = cost[picked]
            kept_back[low:high, t0 - base : t0 - base + cost.shape[1]] = back[picked]
            last[low:high], parent[low:high] = b, rows[picked]
            first += len(cost)
        level = _Level(last, kept_cost, kept_back, parent, level.used[parent], base)
        return level, len(merged) <= room

    def sequences(self, *, limit: float, room: int, ignore_stock: bool = False) -> Listing:
        """
        Sequences whose bound is at most *limit*, rising by bound.

        Args:
            limit: Highest bound listed (stock counted at its prices).
            room: Most sequences kept of any one length.
            ignore_stock: List what the stock cannot provide too.
        """
        stock = None if ignore_stock else self.problem.stock
        limit += self.rebate
        listing = Listing()
        level, trail = self._first(limit), list[_Level]()
        while len(level.last) and len(trail) < 400:
            trail.append(level)
            level = self._finish(level, trail, limit, stock, listing)
            level, whole = self._extend(level, limit, room)
            listing.complete &= whole
        listing.found.sort(key=lambda one: (one.bound, one.sizes, one.on_axis))
        return listing

    def _finish(
        self, level: _Level, trail: list[_Level], limit: float, stock: Ints | None, listing: Listing
    ) -> _Level:
        """Book the stones just set, list the sequences that can end here, and drop what stock forbids."""
        places = self.links.places
        copies, cyclic = self.problem.sector.copies, self.problem.sector.cyclic
        window = slice(level.base, level.base + level.cost.shape[1])
        first = len(trail) == 1
        splits: list[tuple[Ints, Floats, Ints]] = []
        rows = np.arange(len(level.last))
        if cyclic:
            splits.append((rows, level.cost, np.full(len(rows), 1)))
        else:
            # A stone on an axis belongs half to each side: such chains are kept apart from the others.
            for end in (0, 1) if first else (1,):
                cell = places.pins[end].cell[level.last] - level.base
                inside = (cell >= 0) & (cell < level.cost.shape[1])
                value = np.where(inside, level.cost[rows, np.clip(cell, 0, level.cost.shape[1] - 1)], np.inf)
                pick = np.nonzero(np.isfinite(value))[0]
                alone = np.full((len(pick), level.cost.shape[1]), np.inf)
                alone[np.arange(len(pick)), cell[pick]] = value[pick]
                level.cost[pick, cell[pick]] = np.inf
                splits.append((pick, alone, np.full(len(pick), copies // 2)))
            splits.append((rows, level.cost, np.full(len(rows), copies)))
        last, back, parent, used = (list[Ints]() for _ in range(4))
        cost: list[Floats] = []
        for pick, part, weight in splits:
            booked = level.used[pick].copy()
            booked[np.arange(len(pick)), level.last[pick]] += weight
            alive = np.isfinite(part).any(axis=1)
            if stock is not None:
                alive &= (booked <= stock).all(axis=1)
            last.append(level.last[pick][alive])
            cost.append(part[alive])
            back.append(level.back[pick][alive])
            parent.append(level.parent[pick][alive])
            used.append(booked[alive])
        level = _Level(
            last=np.concatenate(last),
            cost=np.concatenate(cost),
            back=np.concatenate(back),
            parent=np.concatenate(parent),
            used=np.concatenate(used),
            base=level.base,
        )
        trail[-1] = level
        end_cost = level.cost + self.finish[level.last, window]
        best = np.argmin(end_cost, axis=1) if len(level.last) else np.zeros(0, dtype=np.int64)
        ends = end_cost[np.arange(len(best)), best]
        for row in np.nonzero(np.isfinite(ends) & (ends <= limit))[0]:
            self._list(trail, int(row), level.base + int(best[row]), float(end_cost[row, best[row]]), listing)
        return level

    def _list(self, trail: list[_Level], row: int, cell: int, cost: float, listing: Listing) -> None:
        places = self.links.places
        used = tuple(int(n) for n in trail[-1].used[row])
        sizes, cells = list[int](), list[int]()
        for level in reversed(trail):
            sizes.append(int(level.last[row]))
            cells.append(cell)
            cell = int(level.back[row, cell - level.base])
            row = int(level.parent[row])
        sizes.reverse()
        cells.reverse()
        pins, u = [], []
        for size, where in zip(sizes, cells, strict=True):
            hit = [
                i
                for i, pin in enumerate(places.pins)
                if int(pin.cell[size]) == where % (places.cells if self.problem.sector.cyclic else 10**9)
            ]
            pins.append(hit[0] if hit else -1)
            u.append(float(places.pins[hit[0]].u[size]) if hit else float(places.u[where]))
        cyclic = self.problem.sector.cyclic
        on_axis = (not cyclic and pins[0] == 0, not cyclic and pins[-1] == 1)
        listing.found.append(
            Sequence(tuple(sizes), on_axis, np.array(u), tuple(pins), cost - self.rebate, used)
        )


def least_bound(listing: Listing) -> float:
    """Bound of the cheapest sequence, infinite when there is none."""
    return listing.found[0].bound if listing.found else math.inf
