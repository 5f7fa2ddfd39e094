"""The one door to a halo: solved, then checked by what knows nothing of the solver, and only then given out."""

from __future__ import annotations

from typing import Any

from gemcalc.halo.case import Case
from gemcalc.halo.layout import checked, judged
from gemcalc.halo.solve import solve


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
    solved = solve(case)
    layout = checked(case, solved)
    # Alternatives are looked for only when they are shown: most answers do without that code.
    from gemcalc.halo.nearest import alternatives, neighbours

    if not layout["feasible"]:
        others = alternatives(case)
        if not layout["stones"] and others:
            # Where nothing closes under these rules, the nearest halo is shown with what it breaks.
            layout = {**judged(case, others[0]["layout"]), "proof": layout["proof"]}
        layout["alternatives"] = others
    else:
        layout["alternatives"] = neighbours(case, solved) if with_alternatives else []
    return layout
