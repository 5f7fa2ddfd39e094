"""Troy units against pint and against the program GNU Units."""

from __future__ import annotations

from decimal import Decimal

import pint
import pytest

from gemcalc.fineness import fineness_from_carat
from gemcalc.troy import UNITS_G, convert, price_per_gram
from tests.outside.test_units import gnu_units

# Our short name, pint's, and that of GNU Units.
NAMES = {
    "ozt": ("troy_ounce", "troyounce"),
    "dwt": ("pennyweight", "pennyweight"),
    "gr": ("grain", "grain"),
    "ct": ("carat", "carat"),
    "mg": ("milligram", "mg"),
}


@pytest.mark.parametrize("unit", NAMES)
def test_grams_in_pint(unit: str) -> None:
    theirs = pint.UnitRegistry().Quantity(1, NAMES[unit][0]).to("gram").magnitude
    assert float(UNITS_G[unit]) == pytest.approx(theirs, rel=1e-9)


@pytest.mark.parametrize("unit", NAMES)
def test_grams_in_gnu_units(unit: str) -> None:
    assert float(UNITS_G[unit]) == pytest.approx(gnu_units(NAMES[unit][1], "g"), rel=1e-7)


def test_carats_of_a_troy_ounce_in_gnu_units() -> None:
    ours = convert(mass=1, unit="ozt", to="ct")
    assert float(ours) == pytest.approx(gnu_units("troyounce", "carat"), rel=1e-7)


@pytest.mark.parametrize("carat", [9, 10, 14, 18, 22])
def test_fineness_in_gnu_units(carat: int) -> None:
    """Its karat is the share 1/24."""
    assert fineness_from_carat(carat=carat) == pytest.approx(
        1000 * gnu_units(f"{carat} karat", "1"), rel=1e-6
    )


def test_price_of_a_gram_in_pint() -> None:
    registry = pint.UnitRegistry()
    registry.define("florin = [currency]")
    theirs = (registry.Quantity(2450.0, "florin / troy_ounce")).to("florin / gram").magnitude * 0.75
    ours = price_per_gram(price_per_troy_ounce=Decimal("2450.00"), fineness_ppt=750)
    assert float(ours) == pytest.approx(theirs, rel=1e-9)
