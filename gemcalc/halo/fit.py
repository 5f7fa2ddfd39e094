"""The one door to a halo: solved, then checked by what knows nothing of the solver, and only then given out."""

from __future__ import annotations

from typing import Any

from gemcalc.halo.case import Case, plain_case
from gemcalc.halo.layout import layout_of
from gemcalc.halo.solve import Solved, solve


def checked(case: Case, solved: Solved) -> dict[str, Any]:
    """
    The layout of *solved* with the rules that the independent check finds broken.

    A layout that the check does not pass is never called feasible, whatever the search believes.
    """
    # Only here is the checker's geometry library needed: a solve on its own does not pay for it.
    from gemcalc.halo.check import verify

    layout = layout_of(case, solved)
    verdict = verify(case=plain_case(case), layout=layout)
    layout["broken"] = list(verdict.broken)
    layout["feasible"] = solved.sound and not verdict.broken
    if verdict.words:
        layout["words"] = dict(verdict.words)
    return layout


def fit(case: Case) -> dict[str, Any]:
    """
    The best halo for a case, or why there is none and what would make one.

    Args:
        case: What is asked for; see :func:`gemcalc.halo.case.read_case`.

    Returns:
        ``feasible``, ``symmetry``, ``stones``, ``beads``, ``figures``, ``broken``, ``proof`` and ``alternatives``;
        lengths mm, areas mm2, weights ct.

    Raises:
        BadInput: an outline contradicts itself.

    Source:
        exact-geometry, practice
    """
    layout = checked(case, solve(case))
    layout["alternatives"] = []
    return layout
