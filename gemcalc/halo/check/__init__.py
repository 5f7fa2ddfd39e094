"""
The independent check of a halo: outlines rebuilt by set algebra, every rule and every figure judged afresh.

It knows nothing of how a layout was found and reads every limit from the case, never from the layout.
No layout is shown before it has passed here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from gemcalc.halo.check import chain, figures, rules

__all__ = ["Verdict", "verify"]


@dataclass(frozen=True)
class Verdict:
    """
    What the check found.

    Args:
        broken: Ids of the rules that the layout breaks, in order.
        words: One sentence for each broken rule, by its id.
        untrue: One sentence for each claim of the layout that is not so: a figure, or the rules it admits.
        false_figures: Those of them that are about figures.
        feasible: What the layout says of itself.
    """

    broken: tuple[str, ...]
    words: dict[str, str]
    untrue: tuple[str, ...]
    feasible: bool
    false_figures: tuple[str, ...] = ()

    @property
    def honest(self) -> bool:
        """Every figure is true, and the layout admits exactly the rules that it breaks."""
        return not self.untrue

    @property
    def sound(self) -> bool:
        """No rule is broken and every claim is true: fit to be shown as a halo that can be set."""
        return not self.broken and self.honest and self.feasible


def verify(*, case: Mapping[str, Any], layout: Mapping[str, Any]) -> Verdict:
    """
    Judge *layout* against *case* to half a micrometre.

    Args:
        case: Centre, target, melee, rules, symmetry and rows, mm, as the halo figure takes them.
        layout: Stones, beads, figures, symmetry, feasible and broken, mm, as the halo figure answers them.

    Returns:
        The verdict. A layout that cannot be measured at all breaks R01, and nothing more is said of it.

    Raises:
        KeyError: the case lacks a measure without which nothing can be judged.

    Source: exact-geometry.
    """
    feasible = layout.get("feasible") is True
    reason = chain.readable(case=case, layout=layout)
    if reason is not None:
        cannot = ("the layout cannot be measured",)
        return Verdict(("R01",), {"R01": reason}, cannot, feasible, cannot if layout.get("stones") else ())
    measured = chain.measure(case=case, layout=layout)
    words: dict[str, str] = {}
    for name, rule in rules.RULES.items():
        found = rule(case, layout, measured)
        if found is not None:
            words[name] = found
    untrue = figures.untrue(case=case, figures=layout.get("figures") or {}, m=measured)
    false_figures = tuple(untrue)
    admitted = sorted(str(name) for name in layout.get("broken") or [])
    if admitted != sorted(words):
        found_words, said = ", ".join(words) or "none", ", ".join(admitted) or "none"
        untrue.append(f"the rules broken are {found_words}, not {said}")
    if feasible == bool(words):
        untrue.append("called feasible, and breaks a rule" if feasible else "sound, and not called feasible")
    return Verdict(tuple(words), words, tuple(untrue), feasible, false_figures)
