"""The nickel gate: which alloys may be offered to somebody with, or perhaps with, a nickel allergy."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from gemcalc.alloys import Alloy
from gemcalc.errors import BadInput

AllergyAnswer = Literal["yes", "no", "not sure"]
"""The client's answer to the question whether nickel troubles them."""

ANSWERS: tuple[AllergyAnswer, ...] = ("yes", "no", "not sure")

CAUTION = (
    "Ask the supplier for a written nickel statement, for the solder and the plating too. Nickel release is "
    "limited to 0.5 µg/cm² a week for what lies on the skin and is shown by test (EN 1811), not by "
    "composition; local rules come first, and an allergy is a matter for a doctor."
)
"""Caution that goes with every answer of the gate. Source: reach-nickel."""


@dataclass(frozen=True, kw_only=True)
class NickelVerdict:
    """
    What the gate says of one alloy.

    Args:
        alloy: Name of the alloy.
        allowed: Whether it may be offered for this client.
        words: The reason in one sentence.
    """

    alloy: str
    allowed: bool
    words: str


def _verdict(alloy: Alloy, answer: AllergyAnswer) -> NickelVerdict:
    if answer == "no":
        allowed = True
        words = {
            "none": "No nickel is stated in its composition.",
            "contains": "Contains nickel: allowed as the client has no nickel allergy; say so in writing.",
            "unknown": "Its nickel content is not known here: keep the supplier's statement.",
        }[alloy.nickel]
    else:
        allowed = alloy.nickel == "none"
        reason = "the client is allergic" if answer == "yes" else "the client is not sure about an allergy"
        words = {
            "none": "No nickel is stated in its composition: allowed with the supplier's written statement.",
            "contains": f"Contains nickel and {reason}: not allowed.",
            "unknown": f"Its nickel content is not known and {reason}: not allowed until a sheet says none.",
        }[alloy.nickel]
    return NickelVerdict(alloy=alloy.name, allowed=allowed, words=words)


def nickel_gate(*, alloys: Iterable[Alloy], answer: AllergyAnswer) -> list[NickelVerdict]:
    """
    Which alloys may be offered, with the reason in words; "not sure" counts as yes.

    Args:
        alloys: The alloys under consideration, built in or the studio's own.
        answer: The client's answer: ``yes``, ``no`` or ``not sure``.

    Returns:
        One :class:`NickelVerdict` for each alloy, in order; show :data:`CAUTION` with them.

    Raises:
        BadInput: the answer is none of the three.

    Source:
        reach-nickel, practice

    >>> from gemcalc.alloys import find
    >>> alloys = [find(name="18ct white Ni"), find(name="Ag925")]
    >>> [verdict.allowed for verdict in nickel_gate(alloys=alloys, answer="not sure")]
    [False, True]
    """
    if answer not in ANSWERS:
        raise BadInput(f"must be one of {', '.join(ANSWERS)}", field="answer")
    return [_verdict(alloy, answer) for alloy in alloys]
