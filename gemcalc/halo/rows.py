"""
Two rows: the second stands round the first as the first stands round the stone.

The second row's girdle is the outer edge of the first row's stones, arcs with a dent at every gap.
Several good first rows are tried, for the best first row need not carry the best second.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import numpy.typing as npt

from gemcalc.halo.case import Case
from gemcalc.halo.outline import STEP, Girdle, girdle_of
from gemcalc.halo.polish import Chain
from gemcalc.halo.row import Effort, RowAnswer, RowSolver, clear, whole
from gemcalc.halo.sector import RowProblem
from gemcalc.halo.shapes import Trace, arc, join
from gemcalc.halo.solve import Row, RowProof, Solved, filled, reach_of, rolled, row_problem

Floats = npt.NDArray[np.float64]

FIRST_ROWS = 7
"""How many first rows are tried with a second."""


def edge_of(row: Row, *, clearance: float, least_radius: float, reach: float) -> Girdle:
    """
    The outer edge of a row of stones, as far as a stone of the least radius can touch it.

    Args:
        row: The stones in order anticlockwise.
        clearance: How far from the edge the next row stands, mm.
        least_radius: Radius of the smallest stone that will stand there, mm.
        reach: Reference distance of the parameter, mm.
    """
    x, y, d = row
    # From the first stone at or right of the -y axis, so that mirrors find the parameter where they expect it.
    angle = (np.arctan2(y, x) + math.pi / 2 + 1e-7) % (2 * math.pi)
    turn = -int(np.argmin(angle))
    x, y, r = np.roll(x, turn), np.roll(y, turn), np.roll(d, turn) / 2
    count = len(x)
    away = r + clearance + least_radius
    ahead = np.zeros(count)
    back = np.zeros(count)
    for i in range(count):
        j = (i + 1) % count
        dx, dy = float(x[j] - x[i]), float(y[j] - y[i])
        apart = math.hypot(dx, dy)
        heading = math.atan2(dy, dx)
        # A stone in the valley touches both: its middle is the outer meeting of two circles.
        from_i = (apart**2 + away[i] ** 2 - away[j] ** 2) / (2 * apart * away[i])
        from_j = (apart**2 + away[j] ** 2 - away[i] ** 2) / (2 * apart * away[j])
        ahead[i] = heading - math.acos(max(-1.0, min(1.0, from_i)))
        back[j] = heading + math.pi + math.acos(max(-1.0, min(1.0, from_j)))
    parts: list[Trace] = []
    phi = -math.pi / 2
    for i in range(count):
        start = phi + (float(back[i]) - phi + math.pi) % (2 * math.pi) - math.pi
        span = (float(ahead[i]) - start) % (2 * math.pi)
        parts.append(
            arc(float(x[i]), float(y[i]), float(r[i]), start, start + span, step=STEP * reach, reach=reach)
        )
        phi = start + span
    if abs(float(x[0])) < 1e-6:
        # The stone on the axis is cut there: its first half comes last.
        px, py, normal = parts[0]
        late = normal >= -math.pi / 2
        bottom = (np.array([float(x[0])]), np.array([float(y[0] - r[0])]), np.array([-math.pi / 2]))
        parts[0] = join(bottom, (px[late], py[late], normal[late]))
        parts.append((px[~late], py[~late], normal[~late] + 2 * math.pi))
    return girdle_of(*join(*parts), reach=reach)


def second_row(case: Case, first: RowProblem, row: Row, used: npt.NDArray[np.int64] | None) -> RowProblem:
    """The second row round a first as a problem of its own."""
    rules, reach = case.rules, reach_of(case)
    sizes = first.sizes
    girdle = edge_of(
        row, clearance=rules.row_gap_min_mm, least_radius=float(sizes[0]) / 2, reach=float(np.mean(sizes)) / 2
    )
    return replace(
        first,
        girdle=girdle,
        clearance=rules.row_gap_min_mm,
        float_max=rules.row_gap_max_mm - rules.row_gap_min_mm,
        target=None if case.target is None else rolled(case.target, reach, "target"),
        stock=None if first.stock is None or used is None else first.stock - used,
        rays=rules.stone_on_deg,
    )


def _together(
    first: Row, second: RowProblem, fill: Callable[[Chain], bool] | None
) -> Callable[[Chain], bool]:
    """The test whether a second row keeps its distance from the whole first row, and leaves no bare spot."""

    def test(chain: Chain) -> bool:
        x, y, d = whole(second, chain)
        ix, iy, inner = first
        near = np.min(np.hypot(x[:, None] - ix, y[:, None] - iy) - (d[:, None] + inner) / 2, axis=1)
        least, most = second.clearance - 3e-7, second.clearance + second.float_max + 3e-7
        return bool(np.all((near >= least) & (near <= most))) and (fill is None or fill(chain))

    return test


def _first_rows(problem: RowProblem, effort: Effort) -> tuple[list[Chain], RowAnswer]:
    """The cheapest first rows, different in count or sizes."""
    answer = RowSolver(problem, effort=effort).solve()
    chains = [chain for chain in answer.others if clear(problem, chain)]
    picked: list[Chain] = []
    for chain in chains:
        counts = {len(other.sequence.sizes) for other in picked}
        if len(picked) < FIRST_ROWS // 2 or len(chain.sequence.sizes) not in counts:
            picked.append(chain)
        if len(picked) == FIRST_ROWS:
            break
    return picked, answer


def _proof(copies: int, chain: Chain, bound: float, optimal: bool, least: Chain | None) -> RowProof:
    """What is known of one row by itself: the first among all first rows, the second round its first."""
    cost = copies * chain.cost
    return RowProof(
        cost,
        min(cost, copies * max(bound, 0.0)),
        optimal and least is not None and chain.cost <= least.cost + 1e-9,
    )


def solve_two(case: Case, group: str, effort: Effort) -> Solved:
    """The best halo of two rows under one symmetry; sound, not proved."""
    problem = row_problem(case, group, outer=False)
    chains, answer = _first_rows(problem, effort)
    if not chains:
        return Solved(False, group, (), answer.optimal, math.inf, math.inf)
    copies = problem.sector.copies
    best: Solved | None = None
    best_cost = math.inf
    nearest: Solved | None = None
    for chain in chains:
        if chain.cost >= best_cost:
            continue
        row = whole(problem, chain)
        used = np.array([int(np.sum(np.abs(row[2] - size) < 1e-9)) for size in problem.sizes], dtype=np.int64)
        second = second_row(case, problem, row, used)
        accept = _together(row, second, filled(case, second, (row,)))
        left = best_cost - chain.cost
        found = RowSolver(second, effort=replace(effort, full=0), accept=accept).solve(below=left)
        if found.best is not None and found.best.cost < left:
            best_cost = chain.cost + found.best.cost
            proofs = (
                _proof(copies, chain, answer.bound, answer.optimal and problem.float_max == 0, answer.best),
                _proof(copies, found.best, found.bound, False, found.best),
            )
            rows = (row, whole(second, found.best))
            best = Solved(True, group, rows, False, 0.0, 0.0, copies * best_cost, proofs=proofs)
        elif found.nearest is not None and (nearest is None or found.nearest.broken < nearest.off_mm):
            off = max(found.nearest.broken, 1e-6)
            nearest = Solved(False, group, (row, whole(second, found.nearest)), False, math.inf, off)
    return best or nearest or Solved(False, group, (), False, math.inf, math.inf)
