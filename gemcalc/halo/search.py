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
from gemcalc.halo.grid import Corridor
from gemcalc.halo.levels import End, Level, Part, cheapest
from gemcalc.halo.links import Links
from gemcalc.halo.sector import RowProblem
from gemcalc.halo.sweep import cost_to_come, cost_to_go

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
        self.go = cost_to_go(self.links, self.own, self.finish)
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

    def corridor(self, limit: float) -> Corridor:
        """Where chains below *limit* can run."""
        come = cost_to_come(self.links, self.own, self.begin)
        return Corridor.of(self.links.places, come + self.onward <= limit + self.rebate + 1e-9)

    def cheapest_use(self) -> Ints:
        """How many stones of each size the cheapest chain on the grid takes, stock or no stock."""
        links, sizes = self.links, self.links.places.sizes
        used = np.zeros(sizes, dtype=np.int64)
        size, cell = (int(i) for i in np.unravel_index(np.argmin(self.begin + self.onward), self.go.shape))
        columns = np.arange(links.cost.shape[0])[:, None]
        last = self.go.shape[1] - 1
        while True:
            used[size] += self.weight[size, cell]
            node = cell * sizes + size
            low, high = (int(i) for i in np.searchsorted(links.node, (node, node + 1)))
            if high <= low:
                return used
            after = links.after[low:high]
            cells = np.minimum(links.first[low:high] + columns, last)
            value = links.cost[:, low:high] + self.onward[after, cells]
            at, row = (int(i) for i in np.unravel_index(np.argmin(value), value.shape))
            if not float(value[at, row]) < float(self.finish[size, cell]):
                return used
            size, cell = int(after[row]), int(cells[at, row])

    def _first(self, limit: float) -> Level:
        places = self.links.places
        cost = self.begin + self.own
        cost[cost + self.go > limit] = np.inf
        live, cells = np.nonzero(np.isfinite(cost))
        base, stop = (int(cells.min()), int(cells.max()) + 1) if len(cells) else (0, 1)
        live = np.flatnonzero(np.bincount(live))
        used = np.zeros((len(live), places.sizes), dtype=np.int64)
        return Level(live, np.ascontiguousarray(cost[live, base:stop].T), np.full(len(live), -1), used, base)

    def _extend(self, level: Level, limit: float, room: int) -> tuple[Level, bool]:
        """All sequences one stone longer, cut to the *room* best; and whether none was cut."""
        links = self.links
        width, columns = links.places.x.shape[1], links.cost.shape[0]
        parts: list[Part] = []
        for a in np.flatnonzero(np.bincount(level.last)).tolist():
            rows = np.nonzero(level.last == a)[0]
            front = level.cost.take(rows, axis=1)
            floor = front.min(axis=1)
            cells = np.nonzero(floor < np.inf)[0]
            if len(cells) == 0:
                continue
            c0, c1 = int(cells[0]), int(cells[-1])
            k0, k1 = level.base + c0, level.base + c1
            edged: dict[int, Floats] = {}
            spare = limit - float(floor.min())
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
                first, low, pair = links.into(a, b)
                t0, t1 = max(t0, first), min(t1, first + len(low) - 1)
                if t0 > t1:
                    continue
                low, pair = low[t0 - first : t1 + 1 - first], pair[:, t0 - first : t1 + 1 - first]
                side = len(pair)
                if side not in edged:
                    edged[side] = np.full((c1 - c0 + 1 + 2 * side, len(rows)), np.inf)
                    edged[side][side:-side] = front[c0 : c1 + 1]
                # Cells before that lie outside the front are met in its infinite edge.
                source = np.minimum(np.maximum(low + (side - k0), 0), k1 - k0 + 1 + side)
                cost = cheapest(edged[side], source, pair)
                whole = cost + self.onward[b, t0 : t1 + 1, None]
                bound = whole.min(axis=0)
                keep = np.nonzero(bound <= limit)[0]
                if len(keep):
                    cost += self.own[b, t0 : t1 + 1, None]
                    cost[whole > limit] = np.inf
                    if len(keep) < len(rows):
                        cost = cost.take(keep, axis=1)
                    parts.append(Part(b, cost, t0, rows[keep], bound[keep]))
        return self._gather(level, parts, room)

    def _gather(self, level: Level, parts: list[Part], room: int) -> tuple[Level, bool]:
        sizes = self.links.places.sizes
        if not parts:
            none = np.zeros(0, dtype=np.int64)
            return Level(none, np.zeros((1, 0)), none, np.zeros((0, sizes), dtype=np.int64), 0), True
        merged = np.concatenate([part.bound for part in parts])
        count = len(merged)
        chosen = np.arange(count)
        if count > room:
            chosen = np.sort(np.argsort(merged, kind="stable")[:room])
        base = min(part.first for part in parts)
        stop = max(part.first + len(part.cost) for part in parts)
        kept = np.full((stop - base, len(chosen)), np.inf)
        last, parent = np.zeros(len(chosen), dtype=np.int64), np.zeros(len(chosen), dtype=np.int64)
        first = 0
        for part in parts:
            low, high = (int(i) for i in np.searchsorted(chosen, (first, first + len(part.rows))))
            if high > low:
                picked = chosen[low:high] - first
                offset = part.first - base
                kept[offset : offset + len(part.cost), low:high] = part.cost[:, picked]
                last[low:high], parent[low:high] = part.size, part.rows[picked]
            first += len(part.rows)
        return Level(last, kept, parent, level.used[parent], base), count <= room

    def sequences(self, *, limit: float, room: int, most: int | None = None) -> Listing:
        """
        Sequences whose bound is at most *limit*, rising by bound.

        Args:
            limit: Highest bound listed (stock counted at its prices).
            room: Most sequences kept of any one length.
            most: Most sequences listed; all where None.
        """
        limit += self.rebate
        listing = Listing()
        level, trail = self._first(limit), list[Level]()
        ends: list[End] = []
        while len(level.last) and len(trail) < 400:
            level = self._finish(level, len(trail), limit, ends)
            trail.append(level)
            level, whole = self._extend(level, limit, room)
            listing.complete &= whole
        ends.sort(key=lambda end: (end.cost, end.depth, end.row))
        if most is not None and len(ends) > most:
            del ends[most:]
            listing.complete = False
        listing.found = [self._sequence(trail, end) for end in ends]
        listing.found.sort(key=lambda one: (one.bound, one.sizes, one.on_axis))
        return listing

    def _finish(self, level: Level, depth: int, limit: float, ends: list[End]) -> Level:
        """Book the stones just set, note the sequences that can end here, and drop what stock forbids."""
        places, stock = self.links.places, self.problem.stock
        copies, cyclic = self.problem.sector.copies, self.problem.sector.cyclic
        height, count = level.cost.shape
        rows = np.arange(count)
        picks, costs, weights = [rows], [level.cost], [np.full(count, 1 if cyclic else copies)]
        if not cyclic:
            # A stone on an axis belongs half to each side: such chains are kept apart from the others.
            for end in (0, 1) if depth == 0 else (1,):
                cell = places.pins[end].cell[level.last] - level.base
                inside = (cell >= 0) & (cell < height)
                value = np.where(inside, level.cost[np.where(inside, cell, 0), rows], np.inf)
                pick = np.nonzero(value < np.inf)[0]
                if not len(pick):
                    continue
                alone = np.full((height, len(pick)), np.inf)
                alone[cell[pick], np.arange(len(pick))] = value[pick]
                level.cost[cell[pick], pick] = np.inf
                picks.append(pick)
                costs.append(alone)
                weights.append(np.full(len(pick), copies // 2))
        pick = np.concatenate(picks)
        booked = level.used[pick]
        booked[np.arange(len(pick)), level.last[pick]] += np.concatenate(weights)
        cost = np.concatenate(costs, axis=1) if len(costs) > 1 else costs[0]
        alive = cost.min(axis=0) < np.inf
        if stock is not None:
            alive &= (booked <= stock).all(axis=1)
        if not alive.all():
            pick, booked, cost = pick[alive], booked[alive], cost[:, alive]
        level = Level(level.last[pick], cost, level.parent[pick], booked, level.base)
        if len(pick):
            end_cost = cost + self.finish[level.last, level.base : level.base + height].T
            least = end_cost.min(axis=0)
            for row in np.nonzero(least <= limit)[0].tolist():
                if math.isfinite(least[row]):
                    place = level.base + int(np.argmin(end_cost[:, row]))
                    ends.append(End(float(least[row]), depth, row, place))
        return level

    def _sequence(self, trail: list[Level], end: End) -> Sequence:
        """The sequence that ends there, traced back from stone to stone."""
        places = self.links.places
        cyclic = self.problem.sector.cyclic
        row, cell = end.row, end.cell
        used = tuple(int(n) for n in trail[end.depth].used[row])
        sizes, cells = list[int](), list[int]()
        for depth in range(end.depth, -1, -1):
            level = trail[depth]
            size = int(level.last[row])
            sizes.append(size)
            cells.append(cell)
            row = int(level.parent[row])
            if depth:
                earlier = trail[depth - 1]
                first, low, pair = self.links.into(int(earlier.last[row]), size)
                k0 = int(low[cell - first]) - earlier.base
                c0, c1 = max(0, k0), min(len(earlier.cost), k0 + len(pair))
                value = earlier.cost[c0:c1, row] + pair[c0 - k0 : c1 - k0, cell - first]
                cell = earlier.base + c0 + int(np.argmin(value))
        sizes.reverse()
        cells.reverse()
        pins, u = list[int](), list[float]()
        turn = places.cells if cyclic else 10**9
        for size, where in zip(sizes, cells, strict=True):
            hit = next((i for i, pin in enumerate(places.pins) if int(pin.cell[size]) == where % turn), -1)
            pins.append(hit)
            u.append(float(places.pins[hit].u[size] if hit >= 0 else places.u[where]))
        on_axis = (not cyclic and pins[0] == 0, not cyclic and pins[-1] == 1)
        return Sequence(tuple(sizes), on_axis, np.array(u), tuple(pins), end.cost - self.rebate, used)
