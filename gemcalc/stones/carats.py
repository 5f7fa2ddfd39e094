"""Carats: as typed, in grams and in grains."""

from __future__ import annotations

import re
from decimal import Decimal

from gemcalc.errors import BadInput, OutOfRange, in_range

GRAMS_PER_CARAT = 0.2
"""Mass of one metric carat, g, exact by definition. Source: cgpm-1907."""

CARATS_PER_TRADE_GRAIN = Decimal("0.25")
"""The grain of the pearl and diamond trade, ct: a "four-grainer" weighs about 1 ct. Source: practice."""

GRAMS_PER_TROY_GRAIN = 0.06479891
"""The grain of the troy and avoirdupois pounds, g, exact. It is not the trade's grain. Source: troy-grain."""

_TYPED = re.compile(r"(?P<digits>-?(?:[0-9]{1,9}(?:[.,][0-9]{0,20})?|[.,][0-9]{1,20}))\s*(?:ct)?")


def grams_from_carats(*, weight_ct: float) -> float:
    """
    Mass, g, of a stone weighed in carats.

    Formula: grams = 0.2 x carats.

    Args:
        weight_ct: Weight, ct, from 0 to 100000.

    Returns:
        Mass, g, exact.

    Raises:
        OutOfRange: the weight is out of range.

    Source:
        cgpm-1907

    >>> grams_from_carats(weight_ct=1.52)
    0.304
    """
    in_range(field="weight_ct", value=weight_ct, low=0.0, high=100_000.0)
    return GRAMS_PER_CARAT * weight_ct


def troy_grains_from_carats(*, weight_ct: float) -> float:
    """
    Weight in troy grains of a stone weighed in carats.

    Args:
        weight_ct: Weight, ct, from 0 to 100000.

    Returns:
        Troy grains of 64.79891 mg, exact.

    Raises:
        OutOfRange: the weight is out of range.

    Source:
        cgpm-1907, troy-grain

    >>> troy_grains_from_carats(weight_ct=1.0)
    3.0864716
    """
    return grams_from_carats(weight_ct=weight_ct) / GRAMS_PER_TROY_GRAIN


def carats_typed(*, weight_ct: str) -> Decimal:
    """
    A weight as a person types it, ct, without any rounding.

    Args:
        weight_ct: Digits with a point or a comma, such as `1.768` or `1,768 ct`; from 0 to 100000.

    Returns:
        The weight, ct, exact.

    Raises:
        BadInput: it is not a plain decimal number.
        OutOfRange: it is negative or above 100000.

    Source:
        cgpm-1907

    >>> carats_typed(weight_ct="1,768")
    Decimal('1.768')
    """
    found = _TYPED.fullmatch(weight_ct.strip().lower())
    if found is None:
        raise BadInput("must be a weight in carats such as 1.768", field="weight_ct")
    weight = Decimal(found["digits"].replace(",", "."))
    if weight < 0 or weight > 100_000:
        raise OutOfRange(field="weight_ct", value=float(weight), low=0.0, high=100_000.0)
    return weight


def trade_grains(*, weight_ct: str) -> Decimal:
    """
    Weight in the trade's grains (quarters of a carat).

    Args:
        weight_ct: Weight as read from the scale, ct, from 0 to 100000.

    Returns:
        Grains of 50 mg. Troy grains are another unit: see :func:`troy_grains_from_carats`.

    Raises:
        BadInput: it is not a plain decimal number.
        OutOfRange: it is negative or above 100000.

    Source:
        practice

    >>> trade_grains(weight_ct="1.000")
    Decimal('4')
    """
    return (carats_typed(weight_ct=weight_ct) / CARATS_PER_TRADE_GRAIN).normalize()
