"""Exact troy units, and the price of a gram from the price of a troy ounce."""

from __future__ import annotations

from decimal import Decimal, InvalidOperation
from typing import Literal

from gemcalc.errors import BadInput

Unit = Literal["g", "mg", "ozt", "dwt", "gr", "ct"]

GRAIN_G = Decimal("0.06479891")
"""Mass of one grain in grams, exact by definition. Source: troy-grain."""

PENNYWEIGHT_G = 24 * GRAIN_G
"""Mass of one pennyweight in grams, exact: 24 grains. Source: troy-grain."""

TROY_OUNCE_G = 480 * GRAIN_G
"""Mass of one troy ounce in grams, exact: 480 grains. Source: troy-grain."""

UNITS_G: dict[str, Decimal] = {
    "g": Decimal(1),
    "mg": Decimal("0.001"),
    "ozt": TROY_OUNCE_G,
    "dwt": PENNYWEIGHT_G,
    "gr": GRAIN_G,
    "ct": Decimal("0.2"),
}
"""Grams in one of each unit of mass. Source: troy-grain, cgpm-1907."""


Figure = Decimal | int | str
"""A number without binary rounding: a Decimal, a whole number, or a decimal written out."""


def _figure(*, field: str, value: Figure, high: int) -> Decimal:
    try:
        figure = Decimal(value)
    except InvalidOperation:
        raise BadInput("must be a decimal number", field=field) from None
    if not figure.is_finite() or figure < 0 or figure > high:
        raise BadInput(f"must be from 0 to {high}, and {value} is not", field=field)
    return figure


def convert(*, mass: Figure, unit: Unit, to: Unit) -> Decimal:
    """
    A mass in another unit, in exact decimal arithmetic.

    Args:
        mass: Mass in *unit*, from 0 to 1000000000.
        unit: Unit it is given in: g, mg, ozt (troy ounce), dwt (pennyweight), gr (grain), ct (carat).
        to: Unit wanted, of the same list.

    Returns:
        Mass in the unit *to*; exact to 28 digits.

    Raises:
        BadInput: a unit is not known, or the mass is outside its range.

    Source:
        troy-grain, cgpm-1907

    >>> convert(mass=Decimal(1), unit="ozt", to="g")
    Decimal('31.10347680')
    """
    for field, name in (("unit", unit), ("to", to)):
        if name not in UNITS_G:
            raise BadInput(f"must be one of {', '.join(UNITS_G)}", field=field)
    return _figure(field="mass", value=mass, high=10**9) * UNITS_G[unit] / UNITS_G[to]


def price_per_gram(*, price_per_troy_ounce: Figure, fineness_ppt: Figure = 1000) -> Decimal:
    """
    Price of one gram of an alloy from the price of a troy ounce of the fine metal, in the same currency.

    The value of the fine metal only: no alloying metal, no making, no dealer's margin, no tax.
    Formula: price = price per ounce / 31.1034768 * fineness / 1000.

    Args:
        price_per_troy_ounce: Price of one troy ounce of fine metal, from 0 to 1000000000.
        fineness_ppt: Fineness of the alloy, parts per thousand, from 0 to 1000.

    Returns:
        Price of a gram in that currency, not rounded: round once, where the money is written down.

    Raises:
        BadInput: an input is outside its range.

    Source:
        troy-grain

    >>> price_per_gram(price_per_troy_ounce=Decimal("31.1034768"), fineness_ppt=Decimal(750))
    Decimal('0.75')
    """
    price = _figure(field="price_per_troy_ounce", value=price_per_troy_ounce, high=10**9)
    return price / TROY_OUNCE_G * _figure(field="fineness_ppt", value=fineness_ppt, high=1000) / 1000


def fine_content_g(*, mass_g: Figure, fineness_ppt: Figure) -> Decimal:
    """
    Grams of fine metal in an alloy.

    Formula: fine = mass * fineness / 1000.

    Args:
        mass_g: Mass of the alloy without stones, g, from 0 to 1000000.
        fineness_ppt: Parts per thousand, from 0 to 1000.

    Returns:
        Fine metal, g. Exact.

    Raises:
        BadInput: an input is outside its range.

    Source:
        exact-geometry

    >>> fine_content_g(mass_g=Decimal("4.31"), fineness_ppt=Decimal(750))
    Decimal('3.23250')
    """
    mass = _figure(field="mass_g", value=mass_g, high=10**6)
    return mass * _figure(field="fineness_ppt", value=fineness_ppt, high=1000) / 1000
