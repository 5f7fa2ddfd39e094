"""Instalment plans: every part but the last is rounded, the last takes the remainder."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

EVENTS = {
    "agreement": "at agreement",
    "stones-set": "when the stones are set",
    "dispatch": "before dispatch",
}


@dataclass(frozen=True, kw_only=True)
class Part:
    """One part of a plan: its share of the total and the event it is due at."""

    share: Fraction
    event: str


PLANS: dict[str, list[Part]] = {
    "50/50": [
        Part(share=Fraction(1, 2), event="agreement"),
        Part(share=Fraction(1, 2), event="dispatch"),
    ],
    "40/30/30": [
        Part(share=Fraction(40, 100), event="agreement"),
        Part(share=Fraction(30, 100), event="stones-set"),
        Part(share=Fraction(30, 100), event="dispatch"),
    ],
    "thirds": [
        Part(share=Fraction(1, 3), event="agreement"),
        Part(share=Fraction(1, 3), event="stones-set"),
        Part(share=Fraction(1, 3), event="dispatch"),
    ],
    "70/30": [
        Part(share=Fraction(70, 100), event="agreement"),
        Part(share=Fraction(30, 100), event="dispatch"),
    ],
    "in full": [Part(share=Fraction(1), event="agreement")],
}


def share_of(*, total_minor: int, share: Fraction) -> int:
    """*share* of a total in minor units, half up."""
    exact = Decimal(total_minor) * share.numerator / Decimal(share.denominator)
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def parts_of(*, total_minor: int, plan: str) -> list[tuple[str, int]]:
    """
    The instalments of *plan*: event and minor units; their sum is the total, exactly.

    Raises:
        KeyError: there is no such plan.
    """
    parts = PLANS[plan]
    sums = [share_of(total_minor=total_minor, share=part.share) for part in parts[:-1]]
    return [(part.event, minor) for part, minor in zip(parts, [*sums, total_minor - sum(sums)], strict=True)]
