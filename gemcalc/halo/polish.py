"""
Refining many chains at once: from places on the grid to positions exact to the nanometre.

Chains of different length are refined together, the shorter ones filled up with stones that weigh nothing; only
loops, which close on themselves, are taken length by length.
Unknown are each stone's place along the girdle and its float; the squared misses of the objective and, ever more
steeply, what breaks a hard limit are minimised together by damped Gauss-Newton steps
(see :mod:`gemcalc.halo.misses`).
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from gemcalc.halo.misses import Batch, Normal
from gemcalc.halo.search import Sequence
from gemcalc.halo.sector import RowProblem

Floats = npt.NDArray[np.float64]
Ints = npt.NDArray[np.intp]

Missed = Callable[[Sequence, float], None]

STEEPNESS = (
    (100.0, 8, 1e-5, 0.1),
    (600.0, 6, 1e-5, 0.02),
    (5e3, 8, 1e-6, 0.005),
    (5e4, 12, 1e-9, 0.002),
)
"""Weight of a broken limit per mm, steps taken with it, the step (mm) below which it is settled, and by how much a
limit may be broken (mm) in a chain that is still waited for after :data:`PATIENCE` steps."""
PATIENCE = 4
KEPT = 8
"""Chains kept however far outside their limits they are."""
LEADERS = 4
"""Chains refined to the end before the others are looked at: most of those are then known to be dearer."""
BATCH = 256
PRUNE_MARGIN = 0.02
SOUND_MM = 5e-6
"""A chain is taken as sound when no limit is broken by more than this."""


@dataclass(frozen=True)
class Chain:
    """One refined chain of a sector: sizes, places, floats, centres, cost of the sector, worst broken limit (mm)."""

    sequence: Sequence
    u: Floats
    floats: Floats
    x: Floats
    y: Floats
    cost: float
    broken: float


def _step(batch: Batch, at: Normal, floats: Floats, damping: Floats) -> Floats:
    """The damped Gauss-Newton step of every chain: places first, then floats where stones may float."""
    m = batch.stones
    normal, slope = at.matrix(), at.slope.copy()
    if batch.floating:
        # A float that already lies on its limit and would be driven beyond it stays where it is.
        down = slope[:, m:]
        held = ((floats <= 0) & (down >= 0)) | ((floats >= batch.problem.float_max) & (down <= 0))
        if held.any():
            free = np.ones(slope.shape)
            free[:, m:][held] = 0.0
            normal *= free[:, :, None]
            normal *= free[:, None, :]
            slope *= free
    diagonal = np.arange(slope.shape[1])
    size = normal[:, diagonal, diagonal]
    # A stone that cannot move has no slope of its own: its row must not be singular.
    normal[:, diagonal, diagonal] = size * (1 + damping[:, None]) + np.where(size == 0, 1.0, 1e-9)
    return np.asarray(np.linalg.solve(normal, -slope[:, :, None])[:, :, 0])


def _steps(
    batch: Batch, u: Floats, floats: Floats, stage: tuple[float, int, float, float]
) -> tuple[Floats, Floats, Normal]:
    """Damped Gauss-Newton steps of every chain of the batch: places, floats and the misses there."""
    m = batch.stones
    steep, steps, exact, hopeless = stage
    damping = np.full(batch.count, 1e-4)
    stride = 0.15 * batch.mean_radius
    at = batch.misses(u, floats, steep)
    for turn in range(steps):
        step = _step(batch, at, floats, damping)
        longest = np.max(np.abs(step), axis=1)
        step *= np.minimum(1.0, stride / np.maximum(longest, 1e-300))[:, None]
        new_floats = floats
        if batch.floating:
            new_floats = np.minimum(np.maximum(floats + step[:, m:], 0.0), batch.problem.float_max)
        new_u = batch.settle(u + step[:, :m], new_floats)
        there = batch.misses(new_u, new_floats, steep)
        better = there.cost <= at.cost * (1 + 1e-12)
        # Chains that no step brings inside their limits hardly ever settle: the others do not wait for them.
        waited = longest if turn < PATIENCE else longest[at.broken < hopeless]
        last = float(np.max(waited, initial=0.0)) < exact
        if better.all():
            u, floats, at = new_u, new_floats, there
            damping = np.maximum(damping * 0.1, 1e-9)
        else:
            damping = np.where(better, np.maximum(damping * 0.1, 1e-9), np.minimum(damping * 30 + 1e-6, 1e3))
            u, floats = np.where(better[:, None], new_u, u), np.where(better[:, None], new_floats, floats)
            at = there.where(better, at)
        if last:
            break
    return u, floats, at


@dataclass
class _State:
    """Chains on their way: what each is, where its stones are, its cost with penalties, without, and what is broken."""

    sequences: list[Sequence]
    u: Floats
    floats: Floats
    cost: Floats
    soft: Floats
    broken: Floats

    def only(self, keep: Ints) -> _State:
        chosen = [self.sequences[i] for i in keep]
        stones = max(len(one.sizes) for one in chosen)
        return _State(
            chosen,
            self.u[keep, :stones],
            self.floats[keep, :stones],
            self.cost[keep],
            self.soft[keep],
            self.broken[keep],
        )


def _onward(
    problem: RowProblem,
    state: _State,
    stages: tuple[tuple[float, int, float, float], ...],
    limit: float,
    missed: Missed | None,
) -> _State | None:
    """Take chains through *stages*, dropping those that cannot come below *limit*; None where none is left."""
    batch = Batch(problem, state.sequences)
    if not math.isfinite(float(state.cost[0])):
        state.u = batch.settle(state.u, state.floats)
    for stage in stages:
        if stage is not stages[-1] and not state.broken.any():
            # Nothing is pressed out of its limits: a steeper limit would change nothing.
            continue
        u, floats, at = _steps(batch, state.u, state.floats, stage)
        state = _State(state.sequences, u, floats, at.cost + batch.fixed, at.soft + batch.fixed, at.broken)
        # The cost with penalties can only lie below that of the sound chain: what is above the limit stays there.
        keep = _below(state, limit)
        if stage is not STEEPNESS[0] and len(keep) > KEPT:
            # What is far outside its limits by now stays there; some are kept, to be shown as the nearest.
            least = np.sort(state.broken[keep])[KEPT - 1]
            far = state.broken[keep] > max(3 * stage[3], float(least))
            if missed is not None:
                for i in keep[far].tolist():
                    missed(state.sequences[i], float(state.broken[i]))
            keep = keep[~far]
        if len(keep) < batch.count:
            if not len(keep):
                return None
            state = state.only(keep)
            batch = Batch(problem, state.sequences)
    return state


def _below(state: _State, limit: float) -> Ints:
    return np.nonzero(state.cost <= limit + PRUNE_MARGIN * abs(limit) + 1e-9)[0]


def _chains(problem: RowProblem, state: _State | None) -> list[Chain]:
    if state is None:
        return []
    batch = Batch(problem, state.sequences)
    x, y, *_ = batch.centres(state.u, state.floats)
    return [
        Chain(one, u[:n], q[:n], x[i, :n], y[i, :n], float(state.soft[i]), float(state.broken[i]))
        for i, (one, u, q) in enumerate(zip(state.sequences, state.u, state.floats, strict=True))
        for n in (len(one.sizes),)
    ]


def _refine(
    problem: RowProblem,
    sequences: list[Sequence],
    limit: float,
    good: Callable[[Chain], bool] | None,
    missed: Missed | None,
) -> list[Chain]:
    """Refine one batch: all of it to the end, or, where *good* says what is wanted, no further than needed."""
    u = Batch(problem, sequences).filled([one.u for one in sequences])
    unknown = np.full(len(sequences), math.inf)
    state: _State | None = _State(sequences, u, np.zeros_like(u), unknown, unknown, unknown)
    assert state is not None
    if good is None or len(sequences) <= LEADERS:
        return _chains(problem, _onward(problem, state, STEEPNESS, limit, missed))
    state = _onward(problem, state, STEEPNESS[:1], limit, missed)
    done: list[Chain] = []
    chunk = LEADERS
    while state is not None:
        order = np.argsort(state.cost, kind="stable")
        fresh = _chains(problem, _onward(problem, state.only(order[:chunk]), STEEPNESS[1:], limit, missed))
        fresh.sort(key=rank)
        done += fresh
        limit = next((chain.cost for chain in fresh if chain.cost < limit and good(chain)), limit)
        rest = order[chunk:]
        rest = rest[np.isin(rest, _below(state, limit))]
        if not len(rest):
            break
        state = state.only(np.sort(rest))
        chunk = 4 * chunk if math.isinf(limit) else len(rest)
    return done


def rank(chain: Chain) -> tuple[float, int, tuple[int, ...], tuple[bool, bool]]:
    """What orders chains: their cost; of equal ones those first that stand on the axes."""
    sequence = chain.sequence
    return round(chain.cost, 9), -sum(sequence.on_axis), sequence.sizes, sequence.on_axis


def polish(
    problem: RowProblem,
    sequences: list[Sequence],
    *,
    limit: float = math.inf,
    good: Callable[[Chain], bool] | None = None,
    missed: Missed | None = None,
) -> list[Chain]:
    """
    Refine *sequences* of any lengths.

    Args:
        problem: The row.
        sequences: What to refine.
        limit: Chains whose cost cannot come below it may be left out.
        good: Whether a chain is what is looked for: then chains that cannot be cheaper than a good one may be left
            out too. Without it all are refined.
        missed: Told of chains that are left out because they stay far outside their limits, and by how much (mm).

    Returns:
        The refined chains, cheapest first; chains that break a limit are among them, see :attr:`Chain.broken`.
    """
    ordered = sorted(sequences, key=lambda one: len(one.sizes))
    groups = [ordered] if ordered else []
    if problem.sector.cyclic:
        lengths = sorted({len(one.sizes) for one in ordered})
        groups = [[one for one in ordered if len(one.sizes) == length] for length in lengths]
    chains: list[Chain] = []
    for group in groups:
        for first in range(0, len(group), BATCH):
            chains += _refine(problem, group[first : first + BATCH], limit, good, missed)
    return sorted(chains, key=rank)
