"""The one door to a halo: solved, then checked by what knows nothing of the solver, and only then given out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from gemcalc.halo.case import Case
from gemcalc.halo.layout import checked, judged
from gemcalc.halo.solve import Solved, solve


@dataclass(frozen=True)
class Fitted:
    """
    A case with what was found for it.

    Args:
        case: What was asked for.
        solved: What the search left.
        layout: The answer, judged by the independent check: ``feasible`` only where that found every rule kept
            and every figure true.
    """

    case: Case
    solved: Solved
    layout: dict[str, Any]


def fitted(case: Case) -> Fitted:
    """
    The best halo for a case, checked; what is near it is not looked for.

    Args:
        case: What is asked for; see :func:`gemcalc.halo.case.read_case`.

    Raises:
        BadInput: an outline contradicts itself.

    Source:
        exact-geometry, practice
    """
    solved = solve(case)
    return Fitted(case, solved, checked(case, solved))


def near(found: Fitted) -> list[dict[str, Any]]:
    """
    What is near: other counts of a sound halo, or the changes that would make one; every layout checked.

    Args:
        found: What was found for a case.

    Source:
        exact-geometry, practice
    """
    # Most answers do without that code: it is loaded when it is wanted.
    from gemcalc.halo.nearest import alternatives, neighbours

    if found.layout["feasible"]:
        return neighbours(found.case, found.solved)
    return alternatives(found.case, found.solved)


def fit(case: Case, *, with_alternatives: bool = True) -> dict[str, Any]:
    """
    The best halo for a case, or why there is none and what would make one.

    Args:
        case: What is asked for; see :func:`gemcalc.halo.case.read_case`.
        with_alternatives: Whether to look for what is near as well; an infeasible case is always answered.

    Returns:
        ``feasible``, ``symmetry``, ``stones``, ``beads``, ``figures``, ``broken``, ``proof`` and ``alternatives``;
        lengths mm, areas mm2, weights ct.

    Raises:
        BadInput: an outline contradicts itself.

    Source:
        exact-geometry, practice
    """
    found = fitted(case)
    layout = found.layout
    if layout["feasible"]:
        return {**layout, "alternatives": near(found) if with_alternatives else []}
    others = near(found)
    if others and not others[0]["case"]:
        # Looking for changes came upon a halo that needs none.
        return {**others[0]["layout"], "alternatives": []}
    if not layout["stones"] and others:
        # Where nothing closes under these rules, the nearest halo is shown with what it breaks.
        layout = {**judged(case, others[0]["layout"]), "proof": layout["proof"]}
    return {**layout, "alternatives": others}
