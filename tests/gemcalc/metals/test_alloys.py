"""Alloys: the built-in rows, their names, the studio's own sheet, fineness marks."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.alloy_rows import ALIASES
from gemcalc.alloys import ALLOYS, PRECIOUS, Alloy, find, from_sheet
from gemcalc.errors import BadInput, OutOfRange
from gemcalc.fineness import ISO_MARKS_PPT, UK_MARKS_PPT, carat_mark_warning, fineness_from_carat, mark_for
from gemcalc.mixture import ELEMENTS, mixture


@pytest.mark.parametrize("alloy", ALLOYS.values(), ids=ALLOYS)
def test_row_hangs_together(alloy: Alloy) -> None:
    assert alloy.low_g_cm3 <= alloy.density_g_cm3 <= alloy.high_g_cm3
    assert alloy.high_g_cm3 / alloy.low_g_cm3 < 1.13
    assert alloy.metal in PRECIOUS
    assert alloy.sources
    if alloy.composition_pct is None:
        assert alloy.nickel == "unknown"
        assert alloy.note
    else:
        mixed = mixture(composition_pct=alloy.composition_pct)
        assert mixed.nickel == alloy.nickel
        assert mixed.fineness_ppt[alloy.metal] == pytest.approx(alloy.fineness_ppt, abs=1.01)
        assert mixed.low_g_cm3 <= alloy.density_g_cm3 <= mixed.high_g_cm3


def test_more_gold_is_heavier() -> None:
    yellow = [ALLOYS[f"{carat}ct yellow"].density_g_cm3 for carat in (9, 10, 14, 18, 22)]
    assert yellow == sorted(yellow)


@pytest.mark.parametrize(
    ("spelt", "name"),
    [
        ("18 K Yellow", "18ct yellow"),
        ("18-carat yellow gold", "18ct yellow"),
        ("14 kt rose", "14ct rose/red"),
        ("18ct rose/red", "18ct rose/red"),
        ("pt 950 ru", "Pt950Ru"),
        ("Sterling Silver", "Ag925"),
        ("24ct", "24ct Au"),
    ],
)
def test_spellings(spelt: str, name: str) -> None:
    assert find(name=spelt).name == name


@pytest.mark.parametrize("alias", ALIASES)
def test_every_alias_finds_its_alloy(alias: str) -> None:
    assert find(name=alias).name == ALIASES[alias]


@pytest.mark.parametrize("vague", ["18ct white", "platinum", "gold", "", "1ct", "Pt950"])
def test_a_vague_name_is_not_guessed(vague: str) -> None:
    with pytest.raises(BadInput) as caught:
        find(name=vague)
    assert caught.value.field == "alloy"


def house_white(**changes: object) -> Alloy:
    sheet = {"name": "House white", "metal": "Au", "fineness_ppt": 750, "sheet": "Caster, March 2026"}
    return from_sheet(**(sheet | {"density_g_cm3": 15.9} | changes))  # type: ignore[arg-type]


def test_own_alloy_stands_before_the_built_in_one() -> None:
    own = house_white(name="18ct yellow", density_g_cm3=15.4)
    assert find(name="18 ct yellow", own=[own]).density_g_cm3 == 15.4
    assert find(name="18 ct yellow").density_g_cm3 == 15.5


def test_own_alloy_from_a_composition_alone() -> None:
    own = house_white(density_g_cm3=None, composition_pct={"Au": 75, "Pd": 15, "Ag": 10})
    assert own.density_g_cm3 == pytest.approx(16.43, abs=0.005)
    assert own.low_g_cm3 == pytest.approx(0.95 * own.density_g_cm3)
    assert own.nickel == "none"
    assert own.sources == ("Caster, March 2026", "rule-of-mixtures", "periodictable")


def test_own_alloy_without_a_composition_has_unknown_nickel() -> None:
    assert house_white().nickel == "unknown"
    assert house_white(nickel="none").nickel == "none"


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": "  "}, "name"),
        ({"sheet": ""}, "sheet"),
        ({"metal": "Cu"}, "metal"),
        ({"fineness_ppt": 0.0}, "fineness_ppt"),
        ({"fineness_ppt": 1000.1}, "fineness_ppt"),
        ({"density_g_cm3": None}, "density_g_cm3"),
        ({"density_g_cm3": 1.99}, "density_g_cm3"),
        ({"density_g_cm3": 22.7}, "density_g_cm3"),
        ({"density_g_cm3": float("nan")}, "density_g_cm3"),
        ({"density_g_cm3": 1.59, "composition_pct": {"Au": 75, "Ag": 25}}, "density_g_cm3"),
        ({"density_g_cm3": 13.5, "composition_pct": {"Au": 75, "Ag": 25}}, "density_g_cm3"),
        ({"composition_pct": {"Au": 58.5, "Ag": 41.5}}, "fineness_ppt"),
        ({"composition_pct": {"Au": 75, "Ag": 20}}, "composition"),
        ({"composition_pct": {"Au": 75, "Unobtainium": 25}}, "composition"),
        ({"composition_pct": {"Au": 75, "Ni": 17, "Cu": 8}, "nickel": "none"}, "nickel"),
    ],
)
def test_a_contradictory_sheet_is_refused(changes: dict[str, object], field: str) -> None:
    with pytest.raises(BadInput) as caught:
        house_white(**changes)
    assert caught.value.field == field


@given(st.dictionaries(st.sampled_from(sorted(ELEMENTS)), st.floats(0.5, 100), min_size=1, max_size=6))
def test_a_mixture_lies_between_its_elements(parts: dict[str, float]) -> None:
    total = sum(parts.values())
    shares = {symbol: 100 * part / total for symbol, part in parts.items()}
    found = mixture(composition_pct=shares)
    densities = [ELEMENTS[symbol].density_g_cm3 for symbol in shares]
    assert min(densities) * (1 - 1e-9) <= found.density_g_cm3 <= max(densities) * (1 + 1e-9)
    assert found.low_g_cm3 < found.density_g_cm3 < found.high_g_cm3
    assert sum(found.fineness_ppt.values()) == pytest.approx(1000, abs=1e-3)


@given(st.floats(0, 99), st.floats(0.1, 1))
def test_more_gold_for_silver_is_heavier(gold: float, more: float) -> None:
    lighter = mixture(composition_pct={"Au": gold, "Ag": 100 - gold})
    heavier = mixture(composition_pct={"Au": gold + more, "Ag": 100 - gold - more})
    assert heavier.density_g_cm3 > lighter.density_g_cm3


@pytest.mark.parametrize(("total", "fits"), [(99.5, True), (100.5, True), (99.4, False), (100.6, False)])
def test_sum_of_a_composition(total: float, fits: bool) -> None:
    parts = {"Ag": 92.5, "Cu": total - 92.5}
    if fits:
        assert mixture(composition_pct=parts).fineness_ppt["Ag"] == 925.0
    else:
        with pytest.raises(BadInput):
            mixture(composition_pct=parts)


def test_fourteen_carat_is_below_the_mark() -> None:
    assert mark_for(metal="Au", fineness_ppt=fineness_from_carat(carat=14)) == 417
    assert mark_for(metal="Au", fineness_ppt=fineness_from_carat(carat=14), marks="uk") == 375
    assert "583.3" in (carat_mark_warning(carat=14, mark_ppt=585) or "")
    assert carat_mark_warning(carat=18, mark_ppt=750) is None


@pytest.mark.parametrize("marks", ["iso-9202", "uk"])
def test_a_mark_is_reached_exactly_and_not_a_tenth_before(marks: str) -> None:
    table = ISO_MARKS_PPT if marks == "iso-9202" else UK_MARKS_PPT
    for metal, row in table.items():
        assert list(row) == sorted(row)
        for before, mark in zip((None, *row), row, strict=False):
            assert mark_for(metal=metal, fineness_ppt=mark, marks=marks) == mark  # type: ignore[arg-type]
            assert mark_for(metal=metal, fineness_ppt=mark - 0.1, marks=marks) == before  # type: ignore[arg-type]


def test_edges_of_fineness() -> None:
    assert fineness_from_carat(carat=24) == 1000
    for carat in (0.99, 24.01, float("nan")):
        with pytest.raises(OutOfRange):
            fineness_from_carat(carat=carat)
    with pytest.raises(OutOfRange):
        mark_for(metal="Au", fineness_ppt=1000.5)
    with pytest.raises(OutOfRange):
        carat_mark_warning(carat=14, mark_ppt=1000)
    with pytest.raises(BadInput):
        mark_for(metal="Fe", fineness_ppt=500)
    with pytest.raises(BadInput):
        mark_for(metal="Au", fineness_ppt=500, marks="mars")  # type: ignore[arg-type]
