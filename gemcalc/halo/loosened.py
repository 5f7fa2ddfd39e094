"""
One limit let go for orders of sizes that just failed: no new search, only a refinement of what is at hand.

Once an order of sizes is fixed, a wider limit never makes it worse, so the least change is closed in on by halves.
"""

from __future__ import annotations

from collections.abc import Sequence as Several
from dataclasses import fields, replace

from gemcalc.halo.case import Case
from gemcalc.halo.changes import Change, Probe
from gemcalc.halo.polish import SOUND_MM, polish
from gemcalc.halo.row import clear, whole
from gemcalc.halo.search import Sequence
from gemcalc.halo.solve import Solved, filled, row_problem

HALVINGS = 3
GROUPS = 2
MANY, FEW = 12, 4
"""Orders tried at first, and while the change is closed in on."""
WORTH = 0.3
"""A change this small need not be made smaller."""


def loosened(
    case: Case, probe: Probe, missed: Several[tuple[str, tuple[Sequence, ...]]]
) -> tuple[Change, Solved] | None:
    """
    The smallest change of one kind with which an order of sizes that just failed is sound; None where none is.

    Args:
        case: What was asked for.
        probe: The limit to let go.
        missed: Orders of sizes that came nearest, by symmetry, the highest first.
    """
    relaxed = probe.relaxed(case)
    if relaxed is None:
        return None
    best: tuple[Change, Solved] | None = None
    # A loop without mirrors has twice the stones, and seldom misses by less.
    mirrored = [pair for pair in missed if pair[0] != "C1"] or list(missed)
    for group, sequences in mirrored[:GROUPS]:
        if best is not None and best[0].size < WORTH:
            break
        found = _best(case, relaxed, probe, group, sequences[:MANY])
        if found is None or (best is not None and found[0].size >= best[0].size - 1e-9):
            continue
        for _ in range(HALVINGS):
            if found[0].size < WORTH:
                break
            nearer = _best(case, _halfway(case, found[0].case), probe, group, sequences[:FEW])
            if nearer is None or nearer[0].size >= found[0].size:
                break
            found = nearer
        if best is None or found[0].size < best[0].size - 1e-9:
            best = found
    return best


def _best(
    case: Case, relaxed: Case, probe: Probe, group: str, sequences: Several[Sequence]
) -> tuple[Change, Solved] | None:
    problem = row_problem(relaxed, group, outer=True)
    own = row_problem(case, group, outer=True)
    # Where the clearance changes, so does the girdle's parameter.
    share = problem.girdle.length / own.girdle.length
    begun = [one if share == 1.0 else replace(one, u=one.u * share) for one in sequences]
    accept = filled(relaxed, problem)
    best: tuple[Change, Solved] | None = None
    for chain in polish(problem, begun):
        if chain.broken > SOUND_MM or not clear(problem, chain) or not (accept is None or accept(chain)):
            continue
        rows = (whole(problem, chain),)
        change = probe.needed(case, rows)
        if change is not None and (best is None or change.size < best[0].size - 1e-9):
            best = change, Solved(True, group, rows, False, 0.0, 0.0, problem.sector.copies * chain.cost)
    return best


def _halfway(case: Case, changed: Case) -> Case:
    """The case with its changed limits half as far let go."""
    halves = {
        item.name: (before + after) / 2
        for item in fields(case.rules)
        for before, after in ((getattr(case.rules, item.name), getattr(changed.rules, item.name)),)
        if isinstance(before, float) and isinstance(after, float) and before != after
    }
    return case.with_rules(**halves)
