"""
A whole halo, solved: symmetry from the highest down, one row or two.

Lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import numpy.typing as npt

from gemcalc.halo.bare import largest_bare
from gemcalc.halo.case import SYMMETRIES, Case, Outline
from gemcalc.halo.outline import Girdle, girdle
from gemcalc.halo.polish import Chain
from gemcalc.halo.row import Effort, RowAnswer, RowSolver, whole
from gemcalc.halo.search import Sequence
from gemcalc.halo.sector import RowProblem, Sector

Floats = npt.NDArray[np.float64]
Row = tuple[Floats, Floats, Floats]
"""Stones of one row in order anticlockwise: x, y, diameter."""

BARE_TOLERANCE_MM = 1e-4


@dataclass(frozen=True)
class RowProof:
    """
    What is known of one of two rows.

    Args:
        cost: Its cost.
        bound: No row costs less: of the first row, of all round the stone; of the second, of all round that first.
        optimal: Whether it is proved cheapest so.
    """

    cost: float
    bound: float
    optimal: bool


@dataclass(frozen=True)
class Solved:
    """
    A halo as the search left it.

    Args:
        sound: Whether it keeps every limit.
        symmetry: The group it was solved under.
        rows: Its stones; empty where no chain closes at all.
        optimal: Whether it is proved cheapest under that symmetry (or, unsound, proved impossible).
        bound: No sound halo of this symmetry costs less.
        off_mm: By how much the worst limit is broken, mm.
        cost: Its cost.
        missed: Where it is not sound, the orders of sizes that came nearest, by symmetry.
        proofs: With two rows, what is known of each by itself, the inner first.
    """

    sound: bool
    symmetry: str
    rows: tuple[Row, ...]
    optimal: bool
    bound: float
    off_mm: float
    cost: float = math.inf
    missed: tuple[tuple[str, tuple[Sequence, ...]], ...] = ()
    proofs: tuple[RowProof, ...] = ()


def reach_of(case: Case) -> float:
    """Reference distance of the girdle's parameter: where the middles of the melee run, mm."""
    return case.rules.clearance_mm + float(np.mean(case.melee.sizes_mm)) / 2


@lru_cache(maxsize=96)
def rolled(outline: Outline, reach: float, field: str) -> Girdle:
    """The girdle of an outline; kept, for many questions are asked about one stone."""
    return girdle(outline, reach=reach, field=field)


@lru_cache(maxsize=64)
def _mirrored(outline: Outline, reach: float, field: str, group: str) -> bool:
    if outline.cut == "outline":
        return rolled(outline, reach, field).mirrored(group)
    if group == "D1":
        return True
    # A round has one measure only: both are None.
    square = outline.length_mm == outline.width_mm
    return outline.cut not in ("pear", "heart") and (group == "D2" or (square and outline.cut != "marquise"))


def symmetries(case: Case) -> list[str]:
    """The groups to try, highest first; empty where the outlines cannot have the one asked for."""
    reach = reach_of(case)
    outlines = [(case.centre, "centre")] + ([(case.target, "target")] if case.target else [])

    def has(group: str) -> bool:
        return group == "C1" or all(_mirrored(outline, reach, name, group) for outline, name in outlines)

    asked = SYMMETRIES if case.symmetry == "any" else (case.symmetry,)
    return [group for group in asked if has(group)]


def row_problem(case: Case, symmetry: str, *, outer: bool) -> RowProblem:
    """The first row of a case as a problem of its own; *outer* when it is the last as well."""
    rules, reach = case.rules, reach_of(case)
    target = rolled(case.target, reach, "target") if case.target is not None and outer else None
    stock = None if case.melee.stock is None else np.array(case.melee.stock, dtype=np.int64)
    return RowProblem(
        girdle=rolled(case.centre, reach, "centre"),
        clearance=rules.clearance_mm,
        float_max=rules.clearance_max_mm - rules.clearance_mm,
        target=target,
        inside_max=rules.inside_target_max_mm,
        outside_max=rules.outside_target_max_mm,
        gap_min=rules.gap_min_mm,
        gap_max=rules.gap_max_mm,
        gap_wanted=rules.gap_wanted_mm,
        sizes=np.array(case.melee.sizes_mm),
        step_max=rules.size_step_max_mm,
        wanted=case.melee.wanted_mm,
        stock=stock,
        rays=rules.stone_on_deg if outer else (),
        sector=Sector(symmetry),
    )


def bare_of(case: Case, rows: tuple[Row, ...], *, beyond: float = 0.0) -> tuple[float, float, float]:
    """The largest bare spot of a halo: radius and middle, mm; with *beyond*, some spot larger than that if any."""
    reach = reach_of(case)
    x, y, d = (np.concatenate([row[i] for row in rows]) for i in range(3))
    outer = np.arange(len(x)) >= len(x) - len(rows[-1][0])
    return largest_bare(
        centre=rolled(case.centre, reach, "centre"),
        target=None if case.target is None else rolled(case.target, reach, "target"),
        x=x,
        y=y,
        radii=d / 2,
        outer=outer,
        beyond=beyond,
    )


def filled(case: Case, problem: RowProblem, inner: tuple[Row, ...] = ()) -> Callable[[Chain], bool] | None:
    """The test whether a chain leaves no bare spot larger than is allowed; None where any may stay."""
    most = case.rules.bare_radius_max_mm
    if most is None:
        return None
    limit = most

    def test(chain: Chain) -> bool:
        most = max(limit + BARE_TOLERANCE_MM, 1e-6)
        return bare_of(case, (*inner, whole(problem, chain)), beyond=most)[0] <= most

    return test


def solve(case: Case, *, effort: Effort | None = None) -> Solved:
    """
    The best halo under the highest symmetry that can be met.

    Args:
        case: What is asked for.
        effort: How far to search; by default to the end.

    Returns:
        A sound halo, or the one that comes nearest.

    Raises:
        BadInput: an outline contradicts itself.
    """
    effort = effort or Effort()
    if case.symmetry == "C1" and len(shared := symmetries(replace(case, symmetry="any"))) > 1:
        return _least_of(case, shared, effort)
    nearest = Solved(
        sound=False, symmetry=case.symmetry, rows=(), optimal=True, bound=math.inf, off_mm=math.inf
    )
    groups = symmetries(case)
    for group in groups:
        found = solve_under(case, group, effort)
        if found.sound:
            return found
        proved = nearest.optimal and found.optimal
        missed = nearest.missed + found.missed
        nearest = replace(found if found.off_mm < nearest.off_mm else nearest, optimal=proved, missed=missed)
    if nearest.symmetry == "any":
        nearest = replace(nearest, symmetry=groups[-1])
    return nearest


def _least_of(case: Case, groups: list[str], effort: Effort) -> Solved:
    """The cheapest halo where none is asked to be symmetric, but the outlines are: a symmetric one may be it."""
    found = [solve_under(case, group, effort) for group in groups]
    best = min(found, key=lambda one: (not one.sound, one.cost if one.sound else one.off_mm))
    return replace(
        best, symmetry="C1", optimal=found[-1].optimal and best is found[-1], bound=found[-1].bound
    )


def solve_under(case: Case, group: str, effort: Effort) -> Solved:
    """The best halo under one symmetry."""
    if case.rows == 2:
        from gemcalc.halo.rows import solve_two

        return solve_two(case, group, effort)
    problem = row_problem(case, group, outer=True)
    answer = RowSolver(problem, effort=effort, accept=filled(case, problem)).solve()
    return _solved(problem, answer)


def _solved(problem: RowProblem, answer: RowAnswer) -> Solved:
    group, copies = problem.sector.symmetry, problem.sector.copies
    chain = answer.best or answer.nearest
    if chain is None:
        return Solved(False, group, (), answer.optimal, math.inf, math.inf)
    sound = answer.best is not None
    return Solved(
        sound=sound,
        symmetry=group,
        rows=(whole(problem, chain),),
        optimal=answer.optimal and problem.float_max == 0 if sound else answer.optimal,
        bound=copies * max(answer.bound, 0.0),
        off_mm=0.0 if sound else max(chain.broken, 1e-6),
        cost=copies * chain.cost,
        missed=((group, answer.missed),) if answer.missed else (),
    )
