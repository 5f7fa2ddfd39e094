"""Sizes and units against pint and against the program GNU Units."""

from __future__ import annotations

import os
import shutil
import subprocess

import pint
import pytest

from gemcalc.rings import ring_of_size, us_diameters_mm
from gemcalc.rings.systems import INCH_MM
from gemcalc.stones import grams_from_carats, troy_grains_from_carats
from tests.outside.limits import keeps


def gnu_units(have: str, want: str) -> float:
    """What the program says; in continuous integration it must be there."""
    program = shutil.which("units")
    if program is None:
        if os.environ.get("CI", "").lower() == "true":
            pytest.fail("GNU Units is needed here: apt-get install units")
        pytest.skip("GNU Units is not installed: apt-get install units")
    said = subprocess.run([program, "-t", have, want], capture_output=True, text=True, timeout=30, check=True)
    return float(said.stdout.split()[0])


def test_carat_inch_and_grain_in_the_registry_of_pint() -> None:
    unit = pint.UnitRegistry()
    pairs = (
        (grams_from_carats(weight_ct=1.0), unit("1 carat").to("gram").magnitude),
        (INCH_MM, unit("1 inch").to("millimeter").magnitude),
        (troy_grains_from_carats(weight_ct=1.0), unit("1 carat").to("grain").magnitude),
    )
    keeps("units-pint", max(abs(ours / theirs - 1) for ours, theirs in pairs))


def test_carat_in_gnu_units() -> None:
    assert grams_from_carats(weight_ct=1.0) == pytest.approx(gnu_units("carat", "g"), rel=1e-9)
    assert troy_grains_from_carats(weight_ct=1.0) == pytest.approx(gnu_units("carat", "grain"), rel=1e-7)


@pytest.mark.parametrize("letter", "ACFKNTZ")
def test_uk_letters_in_gnu_units(letter: str) -> None:
    ours = ring_of_size(system="uk", size=letter).circumference_mm
    assert ours == pytest.approx(gnu_units(f"size{letter}ring", "mm"), abs=1e-6)


@pytest.mark.parametrize("size", [1, 4, 7, 11, 19, 27])
def test_japanese_sizes_in_gnu_units(size: int) -> None:
    ours = ring_of_size(system="jp", size=str(size)).circumference_mm
    assert ours == pytest.approx(gnu_units(f"jpringsize({size})", "mm"), rel=1e-6)


@pytest.mark.parametrize("size", [4, 14, 27])
def test_swiss_sizes_in_gnu_units(size: int) -> None:
    ours = ring_of_size(system="ch", size=str(size)).circumference_mm
    assert ours == pytest.approx(gnu_units(f"euringsize({size})", "mm"), abs=1e-6)


@pytest.mark.parametrize("size", [3, 7, 13])
def test_us_sizes_of_gnu_units_are_another_convention(size: int) -> None:
    """Its line lies lower than the one we follow; ours is named beside it in the notes."""
    theirs = gnu_units(f"ringsize({size})", "mm") / 3.141592653589793
    assert us_diameters_mm(steps=size)["gnu-units"] == pytest.approx(theirs, abs=1e-4)
    ours = ring_of_size(system="us", size=str(size)).diameter_mm
    assert 0 < ours - theirs < 0.12
