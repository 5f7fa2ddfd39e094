"""
One row, solved: the cheapest sound chain, and whether it is proved to be that.

Every cut-off is a count, never a clock: the same row always gives the same chain.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field, replace

import numpy as np
import numpy.typing as npt

from gemcalc.halo import objective
from gemcalc.halo.grid import FINE_STEP, Corridor, places
from gemcalc.halo.links import links
from gemcalc.halo.loop import LoopSearch, loops
from gemcalc.halo.polish import SOUND_MM, Chain, polish, rank
from gemcalc.halo.search import Search, Sequence
from gemcalc.halo.sector import RowProblem
from gemcalc.halo.vary import varied

Floats = npt.NDArray[np.float64]

FIRST_ROOM = 16
FULL_ROOM = 400
LAST_ROOM = 100
PRICE_STEPS = 14
QUICK_LIMIT = 1.0
"""Cost of one place or link kept in the quick pass: size steps of up to 0.10 mm."""
MOST_LINKS = 250_000
FINER = 2.5
"""How much finer the grid is where the first did not close the proof."""
COUNTS_VARIED = 3
"""Counts of stones from whose cheapest loop small changes are tried, where not every order could be listed."""
MOST_MISSED = 24
"""Orders of sizes remembered where none is sound: what is let go for one of them may be enough."""
MOST_JUDGED = 40
"""Chains looked at for bare spots or against an inner row: each look costs as much as refining it."""


@dataclass(frozen=True)
class Effort:
    """
    How far to search.

    Args:
        first, full, last: Sequences kept per length at first, for the proof, and where nothing was found.
        coarse: Spacing of places as a multiple of the usual.
        several: Whether the dearer chains are wanted too.
    """

    first: int = FIRST_ROOM
    full: int = FULL_ROOM
    last: int = LAST_ROOM
    coarse: float = 1.0
    several: bool = False


QUICK = Effort(first=10, full=0, last=16, coarse=2.0, several=True)
"""For the answers beside the main one: a sound chain near the best, without proof."""


@dataclass
class RowAnswer:
    """
    Args:
        best: Cheapest sound chain, or None.
        bound: No sound chain costs less (for the sector).
        optimal: Whether *best* is proved cheapest, or, without one, whether it is proved that there is none.
        nearest: Where there is no sound chain, the one that breaks its limits least, if any chain closes at all.
        others: Sound chains met on the way, cheapest first.
        missed: Without a sound chain, the orders of sizes that came nearest, nearest first.
    """

    best: Chain | None = None
    bound: float = -math.inf
    optimal: bool = False
    nearest: Chain | None = None
    others: list[Chain] = field(default_factory=list)
    missed: tuple[Sequence, ...] = ()


def whole(problem: RowProblem, chain: Chain) -> tuple[Floats, Floats, Floats]:
    """All stones of the halo from the chain of one sector: x, y and diameter, anticlockwise."""
    x, y = chain.x.copy(), chain.y.copy()
    diameters = problem.sizes[list(chain.sequence.sizes)]
    if problem.sector.cyclic:
        return x, y, diameters
    for at, held, (dx, dy) in zip((0, -1), chain.sequence.on_axis, problem.sector.along, strict=True):
        if held:
            along = dx * x[at] + dy * y[at]
            x[at], y[at] = along * dx, along * dy
    held_any = np.zeros(len(x), dtype=np.bool_)
    images = problem.sector.images(x, y, on_axis=held_any)
    sizes = [diameters if i % 2 == 0 else diameters[::-1] for i in range(len(images))]
    ax, ay = (np.concatenate([image[i] for image in images]) for i in (0, 1))
    all_sizes = np.concatenate(sizes)
    doubled = np.hypot(ax - np.roll(ax, 1), ay - np.roll(ay, 1)) < 1e-6
    return ax[~doubled], ay[~doubled], all_sizes[~doubled]


def clear(problem: RowProblem, chain: Chain) -> bool:
    """Whether no two stones of the whole row, neighbours or not, come closer than the least gap; at least three."""
    x, y, d = whole(problem, chain)
    if len(x) < 3:
        return False
    apart = np.hypot(x[:, None] - x, y[:, None] - y) - (d[:, None] + d) / 2
    apart[np.diag_indices(len(x))] = np.inf
    return bool(np.min(apart) >= problem.gap_min - 2 * SOUND_MM)


class RowSolver:
    """Solves one row; the grid is kept for further questions."""

    def __init__(
        self, problem: RowProblem, *, effort: Effort, accept: Callable[[Chain], bool] | None = None
    ) -> None:
        self.problem = problem
        self.effort = effort
        self.accept = accept
        self.judged: dict[tuple[object, ...], bool] = {}
        self.seen: set[tuple[object, ...]] = set()
        self.chains: list[Chain] = []
        self.missed: list[tuple[float, Sequence]] = []

    def _good(self, chain: Chain) -> bool:
        if chain.broken > SOUND_MM:
            return False
        key = chain.sequence.key
        if key not in self.judged and self.accept is not None and len(self.judged) >= MOST_JUDGED:
            return False
        if key not in self.judged:
            self.judged[key] = clear(self.problem, chain) and (self.accept is None or self.accept(chain))
        return self.judged[key]

    def _refine(self, listing: list[Sequence], limit: float) -> None:
        fresh = [one for one in listing if one.key not in self.seen]
        self.seen.update(one.key for one in fresh)
        good = None if self.effort.several else self._good
        self.chains += polish(self.problem, fresh, limit=limit, good=good, missed=self._miss)
        self.chains.sort(key=rank)

    def _miss(self, sequence: Sequence, broken: float) -> None:
        self.missed.append((broken, sequence))

    def _best(self) -> Chain | None:
        return next((chain for chain in self.chains if self._good(chain)), None)

    def _answer(self, best: Chain | None, bound: float, optimal: bool) -> RowAnswer:
        others = [chain for chain in self.chains if chain.broken <= SOUND_MM]
        near = min(self.chains, key=lambda one: one.broken) if best is None and self.chains else None
        missed: list[tuple[float, Sequence]] = []
        if best is None:
            missed = [*self.missed, *((one.broken, replace(one.sequence, u=one.u)) for one in self.chains)]
            missed.sort(key=lambda pair: (pair[0], pair[1].sizes, pair[1].on_axis))
        return RowAnswer(
            best=best,
            bound=bound,
            optimal=optimal,
            nearest=near,
            others=others,
            missed=tuple(sequence for _, sequence in missed[:MOST_MISSED]),
        )

    def _search(self, coarse: float, limit: float, corridor: Corridor | None = None) -> Search | LoopSearch:
        """The grid with places *coarse* times as far apart as usual, without what costs more than *limit*."""
        step = coarse * self.effort.coarse * FINE_STEP * float(np.mean(self.problem.sizes))
        grid = places(self.problem, step=step, limit=limit, corridor=corridor)
        linked = links(self.problem, grid, limit=limit)
        if self.problem.sector.cyclic:
            return loops(self.problem, grid, linked)
        search = Search(self.problem, linked)
        if self.problem.stock is not None and math.isfinite(search.least()):
            set_prices(search)
        return search

    def solve(self, *, below: float = math.inf) -> RowAnswer:
        """
        The answer; see :class:`RowAnswer`.

        First a quick pass for some good chain; what costs more than that is then left out of the full search.

        Args:
            below: Only chains that cost less are wanted.
        """
        loop = 2.0 if self.problem.sector.cyclic else 1.0
        limit = min(below, QUICK_LIMIT if self.problem.target is None else math.inf)
        search = self._search(2 * loop, limit)
        if search.least() > below:
            return RowAnswer(bound=below)
        self._first(search)
        if self._best() is None:
            if self.effort.full or math.isfinite(limit):
                search = self._search(loop, below, self._promising(search))
            least = search.least()
            if not math.isfinite(least):
                return RowAnswer(optimal=self.problem.float_max == 0 and self.problem.girdle.convex)
            self._first(search)
            if self._best() is None:
                room = self.effort.last
                listing = search.sequences(limit=math.inf, room=room, most=2 * room)
                self._refine(listing.found, math.inf)
                if self._best() is None:
                    proved = listing.complete and self.problem.float_max == 0 and self.accept is None
                    return self._answer(None, least, proved)
        best = self._best()
        assert best is not None
        if not self.effort.full:
            return self._answer(best, max(0.0, min(search.least(), best.cost)), False)
        corridor = None
        if best.cost > limit and not self.problem.sector.cyclic:
            search = self._search(2 * loop, best.cost + 1e-6)
        if isinstance(search, Search):
            corridor = search.corridor(best.cost + 1e-6)
        coarse = self._fineness(best.cost) * loop
        search = self._search(coarse, best.cost + 1e-6, corridor)
        least = search.least()
        listing = search.sequences(limit=best.cost, room=self.effort.full)
        self._refine(listing.found, best.cost)
        best = self._best() or best
        if isinstance(search, Search) and not listing.complete and self.problem.float_max == 0:
            # Too many orders looked as if they might be cheaper: a finer grid tells more of them apart.
            search = self._search(coarse / FINER, best.cost + 1e-6, search.corridor(best.cost + 1e-6))
            least = max(least, search.least())
            listing = search.sequences(limit=best.cost, room=self.effort.full)
            self._refine(listing.found, best.cost)
        if self.problem.sector.cyclic and not listing.complete:
            self._vary()
        best = self._best() or best
        bound = best.cost if listing.complete else min(least, best.cost)
        return self._answer(best, bound, listing.complete)

    def _promising(self, search: Search | LoopSearch) -> Corridor | None:
        """Where a finer search looks if it need not prove anything: nowhere much dearer than the best so far."""
        least = search.least()
        if self.effort.full or not isinstance(search, Search) or not math.isfinite(least):
            return None
        return search.corridor(least + 4.0 + 0.5 * abs(least))

    def _first(self, search: Search | LoopSearch) -> None:
        """Refine the most promising sequences."""
        least = search.least()
        if math.isfinite(least):
            room = self.effort.first
            listing = search.sequences(limit=least + 2.0 + 0.4 * abs(least), room=room, most=4 * room)
            self._refine(listing.found, math.inf)

    def _vary(self) -> None:
        """Carry on from the cheapest sound chain of each likely count of stones."""
        leaders: dict[int, Chain] = {}
        for chain in self.chains:
            if chain.broken <= SOUND_MM:
                leaders.setdefault(len(chain.sequence.sizes), chain)
        for chain in list(leaders.values())[:COUNTS_VARIED]:
            self.chains += varied(self.problem, chain)
        self.chains.sort(key=rank)

    def _fineness(self, cost: float) -> float:
        """How fine the grid of the proof can be for the number of links it would have."""
        problem = self.problem
        steps = np.abs(problem.sizes[:, None] - problem.sizes)
        pairs = int(np.sum((steps <= problem.step_max + 1e-9) & (objective.step_cost(steps) <= cost)))
        start, stop = problem.sector.ends(problem.girdle)
        band = min(problem.gap_max - problem.gap_min, 2 * objective.GAP_MM * math.sqrt(cost))
        for coarse in (0.5, 0.7, 1.0, 1.5):
            step = coarse * FINE_STEP * float(np.mean(problem.sizes))
            if problem.target is None and pairs * (stop - start) / step * (band / step + 5) < MOST_LINKS:
                return coarse
        return 1.0 if problem.target is not None else 2.0


def set_prices(search: Search) -> None:
    """
    Put a price on scarce sizes so that the cheapest chain on the grid asks for no more than there is.

    Prices are raised and lowered along the excess (subgradient steps); whatever they are, the bounds hold.
    """
    stock = search.problem.stock
    assert stock is not None
    prices = np.zeros(len(stock))
    best_value, best_prices = search.least(), prices
    if not math.isfinite(best_value):
        return
    reach = 1.0 + 0.3 * abs(best_value)
    for turn in range(PRICE_STEPS):
        excess = search.cheapest_use() - stock
        if np.all(excess <= 0) and not np.any(prices[excess < 0] > 0):
            break
        span = float(np.sum(np.square(np.where((prices > 0) | (excess > 0), excess, 0))))
        if span == 0:
            break
        value = search.least()
        gain = max(best_value + reach - value, 0.1 * reach)
        prices = np.maximum(0.0, prices + gain * excess / span)
        search.price(prices)
        if search.least() > best_value:
            best_value, best_prices = search.least(), prices
        elif turn % 3 == 2:
            reach *= 0.5
    if not np.array_equal(search.prices, best_prices):
        search.price(best_prices)
