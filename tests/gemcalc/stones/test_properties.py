"""What must hold for any stone: round trips, order, the cube of the size, symmetry."""

from __future__ import annotations

import math
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from gemcalc import melee
from gemcalc.stones import (
    CUTS,
    GIRDLES,
    SPECIES,
    carat_display,
    face_area_mm2,
    factor_at,
    girdle_multiplier,
    may_state,
    points,
    size_from_weight,
    weight_from_measures,
)
from gemcalc.stones.arrays import weights_ct

CUT = st.sampled_from([cut.key for cut in CUTS])
SPECIES_KEY = st.sampled_from([row.key for row in SPECIES])
GIRDLE = st.sampled_from([row.key for row in GIRDLES])
WIDTH = st.floats(1.0, 15.0)
RATIO = st.floats(1.0, 3.0)
DEPTH = st.floats(0.4, 0.85)


@given(cut=CUT, species=SPECIES_KEY, width=WIDTH, ratio=RATIO, depth=DEPTH, by=st.floats(0.5, 2.0))
def test_weight_goes_with_the_cube_of_the_size(
    cut: str, species: str, width: float, ratio: float, depth: float, by: float
) -> None:
    one = weight_from_measures(
        cut=cut, length_mm=width * ratio, width_mm=width, depth_mm=width * depth, species=species
    )
    other = weight_from_measures(
        cut=cut,
        length_mm=width * ratio * by,
        width_mm=width * by,
        depth_mm=width * depth * by,
        species=species,
    )
    assert other.weight_ct == pytest.approx(one.weight_ct * by**3, rel=1e-9)
    assert other.low_ct == pytest.approx(one.low_ct * by**3, rel=1e-9)
    assert other.high_ct == pytest.approx(one.high_ct * by**3, rel=1e-9)


@given(cut=CUT, species=SPECIES_KEY, girdle=GIRDLE, width=WIDTH, ratio=RATIO, depth=DEPTH)
def test_the_estimate_lies_inside_its_range(
    cut: str, species: str, girdle: str, width: float, ratio: float, depth: float
) -> None:
    found = weight_from_measures(
        cut=cut,
        length_mm=width * ratio,
        width_mm=width,
        depth_mm=width * depth,
        species=species,
        girdle=girdle,
    )
    assert 0 < found.low_ct < found.weight_ct < found.high_ct
    # Nobody is told a single stone to better than 3 %.
    assert found.high_ct / found.low_ct > 1.06
    assert found.why


@given(cut=CUT, species=SPECIES_KEY, width=WIDTH, ratio=RATIO, depth=DEPTH, more=st.floats(1.001, 1.5))
def test_a_deeper_stone_is_heavier(
    cut: str, species: str, width: float, ratio: float, depth: float, more: float
) -> None:
    measures = {"cut": cut, "length_mm": width * ratio, "width_mm": width, "species": species}
    one = weight_from_measures(**measures, depth_mm=width * depth)  # type: ignore[arg-type]
    other = weight_from_measures(**measures, depth_mm=width * depth * more)  # type: ignore[arg-type]
    assert other.weight_ct > one.weight_ct


@given(girdle=GIRDLE, width=WIDTH, depth=DEPTH, more=st.floats(1.0001, 1.2))
def test_a_larger_round_is_heavier_even_across_the_columns_of_the_girdle_table(
    girdle: str, width: float, depth: float, more: float
) -> None:
    measures = {"cut": "round", "depth_mm": width * depth, "girdle": girdle}
    one = weight_from_measures(**measures, length_mm=width, width_mm=width)  # type: ignore[arg-type]
    other = weight_from_measures(  # type: ignore[arg-type]
        **measures, length_mm=width * more, width_mm=width * more
    )
    assert other.weight_ct > one.weight_ct


@given(width=WIDTH, depth=DEPTH)
def test_a_thicker_girdle_is_heavier(width: float, depth: float) -> None:
    weights = [
        weight_from_measures(
            cut="round", length_mm=width, width_mm=width, depth_mm=width * depth, girdle=row.key
        ).weight_ct
        for row in GIRDLES
    ]
    assert weights == sorted(weights)


@given(
    cut=st.sampled_from([cut.key for cut in CUTS if cut.symmetric_turn]),
    one=WIDTH,
    other=WIDTH,
    girdle=GIRDLE,
    depth=st.floats(1, 10),
)
def test_length_and_width_may_be_exchanged(
    cut: str, one: float, other: float, girdle: str, depth: float
) -> None:
    assume(max(one, other) / min(one, other) <= 5)
    there = weight_from_measures(cut=cut, length_mm=one, width_mm=other, depth_mm=depth, girdle=girdle)
    back = weight_from_measures(cut=cut, length_mm=other, width_mm=one, depth_mm=depth, girdle=girdle)
    assert there == back


@given(cut=CUT, species=SPECIES_KEY, weight=st.floats(0.01, 50))
def test_from_weight_to_millimetres_and_back(cut: str, species: str, weight: float) -> None:
    size = size_from_weight(cut=cut, weight_ct=weight, species=species)
    back = weight_from_measures(
        cut=cut,
        length_mm=size.length_mm,
        width_mm=size.width_mm,
        depth_mm=size.depth_mm,
        species=species,
    )
    assert back.weight_ct == pytest.approx(weight, rel=1e-9)
    assert size.low_mm < size.length_mm < size.high_mm


@given(cut=CUT, weight=st.floats(0.01, 20), more=st.floats(1.0001, 10))
def test_a_heavier_stone_is_larger(cut: str, weight: float, more: float) -> None:
    one = size_from_weight(cut=cut, weight_ct=weight)
    other = size_from_weight(cut=cut, weight_ct=weight * more)
    assert other.length_mm > one.length_mm
    assert other.length_mm / one.length_mm == pytest.approx(more ** (1 / 3), rel=1e-9)


@given(cut=CUT, ratio=st.floats(0.5, 5))
def test_a_factor_lies_between_the_printed_ones(cut: str, ratio: float) -> None:
    row = next(row for row in CUTS if row.key == cut)
    printed = [factor.factor for factor in row.factors]
    assert min(printed) <= factor_at(cut=cut, length_to_width=ratio) <= max(printed)


@given(girdle=GIRDLE, width=st.floats(0.3, 100))
def test_a_girdle_moves_a_weight_by_less_than_an_eighth(girdle: str, width: float) -> None:
    estimate, low, high = girdle_multiplier(girdle=girdle, width_mm=width)
    assert 0.9 < low <= estimate <= high < 1.125


@given(rows=st.lists(st.tuples(WIDTH, st.floats(1, 1.03), DEPTH, st.floats(45, 75)), min_size=1, max_size=20))
def test_many_stones_give_the_figures_of_single_ones(rows: list[tuple[float, float, float, float]]) -> None:
    many = weights_ct(
        cut="round",
        length_mm=[width * ratio for width, ratio, _, _ in rows],
        width_mm=[width for width, _, _, _ in rows],
        depth_mm=[width * depth for width, _, depth, _ in rows],
        table_pct=[table for _, _, _, table in rows],
    )
    for row, (width, ratio, depth, table) in enumerate(rows):
        one = weight_from_measures(
            cut="round",
            length_mm=width * ratio,
            width_mm=width,
            depth_mm=width * depth,
            table_pct=table,
        )
        assert many[row] == pytest.approx(one.weight_ct, rel=1e-12)


@given(cut=CUT, width=WIDTH, ratio=RATIO, depth=DEPTH, species=SPECIES_KEY)
def test_arrays_and_single_figures_agree_for_every_cut(
    cut: str, width: float, ratio: float, depth: float, species: str
) -> None:
    measures = {"length_mm": width * ratio, "width_mm": width, "depth_mm": width * depth}
    one = weight_from_measures(cut=cut, species=species, **measures)
    many = weights_ct(
        cut=cut,
        species=species,
        **{name: [value] for name, value in measures.items()},  # type: ignore[arg-type]
    )
    assert many[0] == pytest.approx(one.weight_ct, rel=1e-12)


@given(thousandths=st.integers(0, 99_999_999))
def test_the_display_rule_over_every_third_decimal(thousandths: int) -> None:
    weight = Decimal(thousandths).scaleb(-3)
    shown = Decimal(carat_display(weight_ct=str(weight)))
    assert shown - weight == (
        Decimal("0.001") if thousandths % 10 == 9 else -Decimal(thousandths % 10).scaleb(-3)
    )
    assert points(weight_ct=str(weight)) == int(shown * 100)


@given(thousandths=st.integers(1, 99_999))
def test_a_weight_may_be_stated_by_its_own_three_decimals(thousandths: int) -> None:
    weight = str(Decimal(thousandths).scaleb(-3))
    assert may_state(stated=f"{Decimal(weight):.3f}", weight_ct=weight)
    assert not may_state(stated=f"{Decimal(weight) + Decimal('0.010'):.3f}", weight_ct=weight)


@given(
    cut=st.sampled_from(["oval", "marquise", "pear", "emerald", "princess", "cushion"]),
    width=WIDTH,
    ratio=RATIO,
    more=st.floats(1.01, 2),
)
def test_area_grows_with_length_and_stays_inside_the_box(
    cut: str, width: float, ratio: float, more: float
) -> None:
    one = face_area_mm2(cut=cut, length_mm=width * ratio, width_mm=width)
    other = face_area_mm2(cut=cut, length_mm=width * ratio * more, width_mm=width)
    assert 0.5 * width * width * ratio < one <= width * width * ratio * (1 + 1e-12)
    assert other > one


@given(diameter=st.floats(0.70, 4.49), more=st.floats(1.0001, 1.5))
def test_larger_melee_is_heavier_and_fewer_to_the_carat(diameter: float, more: float) -> None:
    assume(diameter * more <= 4.5)
    one = melee.melee_of_diameter(diameter_mm=diameter)
    other = melee.melee_of_diameter(diameter_mm=diameter * more)
    assert other.weight_ct > one.weight_ct
    assert other.per_carat < one.per_carat
    assert one.per_carat * one.weight_ct == pytest.approx(1.0)
    assert one.diameter_low_mm <= diameter + 1e-9 < one.diameter_high_mm + 1e-8


@given(diameter=st.floats(0.70, 4.50), count=st.integers(1, 5_000))
def test_count_and_weight_of_a_lot_are_the_inverse_of_each_other(diameter: float, count: int) -> None:
    weight, low, high = melee.weight_of_count_ct(count=count, diameter_mm=diameter)
    assume(weight >= 0.0005)
    back, fewest, most = melee.count_in_weight(weight_ct=weight, diameter_mm=diameter)
    assert back == pytest.approx(count)
    assert low < weight < high
    assert fewest < count < most


@given(diameter=st.floats(0.9, 4.5), count=st.integers(10, 2_000), off=st.floats(0.93, 1.07))
def test_a_tenfold_slip_is_caught_and_an_ordinary_lot_is_not(diameter: float, count: int, off: float) -> None:
    weight = count * melee.melee_of_diameter(diameter_mm=diameter).weight_ct * off
    good = melee.check_lot(count=count, weight_ct=weight, diameter_mm=diameter)
    assert good.verdict == "agrees"
    for slipped in (weight * 10, weight / 10):
        bad = melee.check_lot(count=count, weight_ct=slipped, diameter_mm=diameter)
        assert bad.verdict == "tenfold"
    for typed in (weight / count * 10, weight / count / 10):
        paper = melee.check_lot(count=count, weight_ct=weight, diameter_mm=diameter, stated_mean_ct=typed)
        assert paper.verdict == "tenfold"
        assert "decimal point" in paper.findings[0]


def test_factor_rows_rise_in_ratio_and_stay_near_their_neighbours() -> None:
    """A slipped digit in a table shows against the rows beside it."""
    for cut in CUTS:
        ratios = [row.length_to_width for row in cut.factors]
        assert ratios == sorted(set(ratios))
        for left, right in pairwise(cut.factors):
            assert 0.9 < right.factor / left.factor < 1.17, cut.key


def test_species_rows_are_ordered_and_unique() -> None:
    assert len(SPECIES) == 25
    for row in SPECIES:
        assert row.low_g_cm3 <= row.density_g_cm3 <= row.high_g_cm3
        assert row.high_g_cm3 / row.low_g_cm3 < 1.16, row.key
    words = [word for row in SPECIES for word in (row.key, *row.also)]
    assert len(words) == len(set(words))


def test_plates_are_contiguous_and_near_the_cube_law() -> None:
    rows = melee.PLATES
    for left, right in pairwise(rows):
        assert left.high_mm == right.low_mm
        assert right.weight_ct > left.weight_ct
    ratios = {row.sieve: row.weight_ct / (row.middle_mm / 6.5) ** 3 for row in rows}
    from_0_to_16 = [row.sieve for row in rows if 1.1 <= row.low_mm < 3.7]
    assert all(0.95 <= ratios[sieve] <= 1.25 for sieve in from_0_to_16)
    small = [ratios[row.sieve] for row in rows if 1.1 <= row.low_mm < 1.45]
    large = [ratios[row.sieve] for row in rows if 2.9 <= row.low_mm < 3.7]
    assert math.fsum(small) / len(small) == pytest.approx(1.17, abs=0.01)
    assert math.fsum(large) / len(large) == pytest.approx(1.00, abs=0.01)
