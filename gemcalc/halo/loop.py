"""
Chains that close on themselves: the search of a halo without mirrors.

The loop is cut at the first stone after the girdle's start.
Where that stone may stand is split into narrow blocks; in each, a chain must come back to the block it began in.
"""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from gemcalc.halo.grid import Places
from gemcalc.halo.links import Links
from gemcalc.halo.search import Listing, Search, Sequence
from gemcalc.halo.sector import RowProblem

Bools = npt.NDArray[np.bool_]
BLOCK_CELLS = 12
SAMPLED_ROOM = 100
SAMPLED_BLOCKS = 5


class LoopSearch:
    """The blocks of one loop, each with its own search; asked like a :class:`gemcalc.halo.search.Search`."""

    def __init__(self, problem: RowProblem, grid: Places, linked: Links, blocks: list[Bools]) -> None:
        self.problem = problem
        self.searches: list[tuple[float, Search]] = []
        # The stone at the cut is met twice.
        counted = problem if problem.stock is None else replace(problem, stock=problem.stock + 1)
        for block in blocks:
            begin = np.where(block & grid.alive, 0.0, np.inf)
            finish = np.full(grid.x.shape, np.inf)
            shifted = begin[:, : grid.x.shape[1] - grid.cells]
            # The first stone, met again at the end, has been paid for.
            again = np.where(np.isfinite(shifted), -grid.cost[:, grid.cells :], np.inf)
            finish[:, grid.cells :] = np.where(np.isfinite(grid.cost[:, grid.cells :]), again, np.inf)
            own = replace(linked, places=replace(grid, begin=begin, finish=finish))
            search = Search(counted, own)
            if math.isfinite(search.least()):
                self.searches.append((search.least(), search))
        self.searches.sort(key=lambda pair: pair[0])

    def least(self) -> float:
        """Least cost of any loop on the grid."""
        return self.searches[0][0] if self.searches else math.inf

    def sequences(self, *, limit: float, room: int, most: int | None = None) -> Listing:
        """Loops whose bound is at most *limit*, each once whatever stone it is counted from; at most *most*."""
        listing = Listing()
        seen: set[tuple[int, ...]] = set()
        blocks = [search for least, search in self.searches if least <= limit]
        if room <= SAMPLED_ROOM:
            # Only a proof needs every block; a good loop is found from its best ones.
            blocks = blocks[:SAMPLED_BLOCKS]
            listing.complete = len(blocks) == len(self.searches)
        share = room if room > SAMPLED_ROOM else max(6, room // max(1, len(blocks)))
        for search in blocks:
            part = search.sequences(limit=limit, room=share)
            listing.complete &= part.complete
            for one in part.found:
                loop = self._loop(one)
                if loop is None:
                    continue
                key = min(loop.sizes[i:] + loop.sizes[:i] for i in range(len(loop.sizes)))
                if not any(pin >= 0 for pin in loop.pins) and key in seen:
                    continue
                seen.add(key)
                listing.found.append(loop)
        listing.found.sort(key=lambda one: (one.bound, one.sizes))
        if most is not None and len(listing.found) > most:
            del listing.found[most:]
            listing.complete = False
        return listing

    def _loop(self, one: Sequence) -> Sequence | None:
        """The sequence without the first stone's return; None if it does not close or stock forbids it."""
        if len(one.sizes) < 4 or one.sizes[0] != one.sizes[-1]:
            return None
        sizes = one.sizes[:-1]
        used = np.bincount(sizes, minlength=len(self.problem.sizes))
        if self.problem.stock is not None and np.any(used > self.problem.stock):
            return None
        u = one.u[:-1].copy()
        # Both ends of the cut lie in one block: share out what is left between them.
        slip = one.u[-1] - one.u[0] - self.problem.girdle.length
        if abs(slip) < 1.0:
            u -= slip * np.arange(len(u)) / len(u)
        return replace(one, sizes=sizes, u=u, pins=one.pins[:-1], used=tuple(int(n) for n in used))


def loops(problem: RowProblem, grid: Places, linked: Links) -> LoopSearch:
    """Cut the loop of *problem* into blocks (one, where a ray says where a stone stands)."""
    width = grid.x.shape[1]
    if grid.pins:
        block = np.zeros(grid.x.shape, dtype=np.bool_)
        block[np.arange(grid.sizes), grid.pins[0].cell] = True
        return LoopSearch(problem, grid, linked, [block])
    # However sharp the corner, some stone stands within a quarter more than a stone and a gap.
    pitch = min(
        width - grid.cells, math.ceil(1.25 * (float(problem.sizes[-1]) + problem.gap_max) / grid.step)
    )
    blocks: list[Bools] = []
    for start in range(0, pitch, BLOCK_CELLS):
        block = np.zeros(grid.x.shape, dtype=np.bool_)
        block[:, start : min(start + BLOCK_CELLS, pitch)] = True
        blocks.append(block)
    return LoopSearch(problem, grid, linked, blocks)
