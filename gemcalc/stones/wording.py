"""How a weight may be written: carats, points and fractions."""

from __future__ import annotations

import re
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from fractions import Fraction

from gemcalc.errors import BadInput
from gemcalc.stones.carats import carats_typed

CARATS_PER_POINT = Decimal("0.01")
"""One point, ct, exact. Source: cgpm-1907."""

_FRACTION = re.compile(r"(?:(?P<whole>[0-9]{1,4}) )?(?P<above>[0-9]{1,4})/(?P<below>[0-9]{1,4})")


def carat_display(*, weight_ct: str) -> str:
    """
    Weight with two decimals as laboratories show it: up only on a third-decimal 9.

    Args:
        weight_ct: Weight as read from the scale, ct, three decimals or more, from 0 to 100000.

    Returns:
        Two decimals, ct. Display only: sums are made from unrounded weights.

    Raises:
        BadInput: it is not a plain decimal number.
        OutOfRange: it is negative or above 100000.

    Source:
        gia-rounding, agl-rounding

    >>> carat_display(weight_ct="1.768"), carat_display(weight_ct="1.769")
    ('1.76', '1.77')
    """
    thousandths = carats_typed(weight_ct=weight_ct).quantize(Decimal("0.001"), rounding=ROUND_DOWN)
    shown = thousandths.quantize(CARATS_PER_POINT, rounding=ROUND_DOWN)
    if thousandths - shown == Decimal("0.009"):
        shown += CARATS_PER_POINT
    return str(shown)


def points(*, weight_ct: str) -> int:
    """
    Whole points of the displayed weight (one point is 0.01 ct).

    Args:
        weight_ct: Weight as read from the scale, ct, from 0 to 100000.

    Returns:
        Points, after the display rule.

    Raises:
        BadInput: it is not a plain decimal number.
        OutOfRange: it is negative or above 100000.

    Source:
        gia-rounding, cgpm-1907

    >>> points(weight_ct="0.479")
    48
    """
    return int(Decimal(carat_display(weight_ct=weight_ct)) / CARATS_PER_POINT)


def points_statement(*, weight_ct: str) -> str:
    """
    Points with the decimal weight beside them: US rules let points stand only so.

    Args:
        weight_ct: Weight as read from the scale, ct, from 0 to 100000.

    Returns:
        The words.

    Raises:
        BadInput: it is not a plain decimal number.
        OutOfRange: it is negative or above 100000.

    Source:
        ftc-23-18

    >>> points_statement(weight_ct="0.456")
    '0.45 ct (45 points)'
    """
    return f"{carat_display(weight_ct=weight_ct)} ct ({points(weight_ct=weight_ct)} points)"


def may_state(*, stated: str, weight_ct: str) -> bool:
    """
    Whether the decimal weight *stated* is accurate to its last place for a stone of *weight_ct*.

    A single decimal counts as two: "0.5" may stand for 0.495 to 0.504 only.

    Args:
        stated: The weight as it would be printed, ct, such as `0.5`.
        weight_ct: Weight as read from the scale, ct, from 0 to 100000.

    Returns:
        True when the statement may be printed. A caution, not advice on the law where you sell.

    Raises:
        BadInput: one of them is not a plain decimal number.
        OutOfRange: one of them is negative or above 100000.

    Source:
        ftc-23-18

    >>> [may_state(stated="0.5", weight_ct=w) for w in ("0.494", "0.495", "0.504", "0.505")]
    [False, True, True, False]
    """
    printed, weight = carats_typed(weight_ct=stated), carats_typed(weight_ct=weight_ct)
    exponent = printed.as_tuple().exponent
    places = max(2, -exponent if isinstance(exponent, int) else 2)
    half = Decimal(5).scaleb(-places - 1)
    return printed - half <= weight < printed + half


def fraction_statement(*, fraction: str, low_ct: str, high_ct: str) -> str:
    """
    A weight as a fraction with the range that must stand beside it.

    Args:
        fraction: Such as `1/2` or `1 1/4`.
        low_ct: Least weight that is sold under this fraction, ct.
        high_ct: Greatest weight, ct.

    Returns:
        The words. The range is the seller's own; the rule is that it be stated.

    Raises:
        BadInput: it is not a fraction, or the range does not hold it.
        OutOfRange: an end of the range is negative or above 100000.

    Source:
        ftc-23-18

    >>> fraction_statement(fraction="1/2", low_ct="0.47", high_ct="0.54")
    '1/2 ct (weighs 0.47 to 0.54 ct)'
    """
    found = _FRACTION.fullmatch(fraction.strip())
    if found is None or int(found["below"]) == 0:
        raise BadInput("must be a fraction such as 1/2", field="fraction")
    value = int(found["whole"] or 0) + Fraction(int(found["above"]), int(found["below"]))
    low, high = carats_typed(weight_ct=low_ct), carats_typed(weight_ct=high_ct)
    if not Fraction(low) <= value <= Fraction(high):
        raise BadInput("must lie inside its own range", field="fraction")
    cents = [str(end.quantize(CARATS_PER_POINT, rounding=ROUND_HALF_UP)) for end in (low, high)]
    return f"{fraction.strip()} ct (weighs {cents[0]} to {cents[1]} ct)"
