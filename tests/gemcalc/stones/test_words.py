"""What is said beside a figure, and what is refused in words."""

from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest

from gemcalc import melee, stones
from gemcalc.errors import BadInput
from gemcalc.stones.arrays import weights_ct


def test_a_table_brings_in_the_fit_and_says_so() -> None:
    found = stones.weight_from_measures(
        cut="round", length_mm=6.51, width_mm=6.48, depth_mm=3.96, table_pct=57
    )
    assert found.weight_ct == found.fitted_ct != found.plain_ct
    assert "fit to the open diamonds set" in found.why[0]
    assert found.sources[0] == "diamonds-fit"


def test_a_girdle_that_was_looked_at_says_more_than_the_fit() -> None:
    found = stones.weight_from_measures(
        cut="round", length_mm=6.51, width_mm=6.48, depth_mm=3.96, table_pct=57, girdle="thick"
    )
    assert found.weight_ct == found.plain_ct
    assert found.fitted_ct is not None
    assert any("thick girdle" in reason for reason in found.why)


@pytest.mark.parametrize(
    "measures",
    [
        {"length_mm": 12.0, "width_mm": 12.0, "depth_mm": 7.3, "table_pct": 57.0},
        {"length_mm": 6.5, "width_mm": 6.5, "depth_mm": 3.3, "table_pct": 57.0},
        {"length_mm": 6.5, "width_mm": 6.5, "depth_mm": 4.0, "table_pct": 75.0},
    ],
)
def test_outside_the_stones_of_the_fit_the_plain_factor_stands(measures: dict[str, float]) -> None:
    found = stones.weight_from_measures(cut="round", **measures)  # type: ignore[arg-type]
    assert found.fitted_ct is None
    assert found.factor == 0.0061


def test_doubt_widens_the_range_and_warns() -> None:
    usual = stones.weight_from_measures(cut="pear", length_mm=8.5, width_mm=5.5, depth_mm=3.5)
    long = stones.weight_from_measures(cut="pear", length_mm=14.0, width_mm=5.5, depth_mm=3.5)
    flat = stones.weight_from_measures(cut="pear", length_mm=8.5, width_mm=5.5, depth_mm=1.0)
    assert not usual.warnings
    assert "2.55 to 1" in long.warnings[0]
    assert "18 % of the width" in flat.warnings[0]
    for doubtful in (long, flat):
        assert doubtful.high_ct / doubtful.weight_ct > usual.high_ct / usual.weight_ct


def test_a_round_of_two_diameters_is_questioned() -> None:
    found = stones.weight_from_measures(cut="round", length_mm=7.0, width_mm=6.5, depth_mm=4.0)
    assert "differ by more than 3 %" in found.warnings[0]


def test_the_two_heart_tables_both_lie_in_the_range() -> None:
    found = stones.weight_from_measures(
        cut="heart", length_mm=7.0, width_mm=7.0, depth_mm=4.0, species="sapphire"
    )
    for factor in (0.0018, 0.0021):
        assert found.low_ct <= factor * 4.0 * 7 * 7 * 4 <= found.high_ct


@pytest.mark.parametrize("species", ["Sapphire", " cubic zirconia ", "CUBIC_ZIRCONIA", "Tsavorite"])
def test_species_are_read_as_people_write_them(species: str) -> None:
    assert stones.species_named(species=species).density_g_cm3 > 3


@pytest.mark.parametrize(
    ("asked", "field"),
    [
        ({"cut": "brilliant"}, "cut"),
        ({"species": "glass"}, "species"),
        ({"girdle": "fat"}, "girdle"),
        ({"girdle": "thin-to-fat"}, "girdle"),
        ({"girdle": "-to-"}, "girdle"),
        ({"cut": "oval", "length_mm": 60.0}, "length_mm"),
    ],
)
def test_an_unknown_word_is_refused_where_it_stands(asked: dict[str, object], field: str) -> None:
    sound: dict[str, object] = {"cut": "round", "length_mm": 6.5, "width_mm": 6.5, "depth_mm": 4.0}
    with pytest.raises(BadInput) as refused:
        stones.weight_from_measures(**{**sound, **asked})  # type: ignore[arg-type]
    assert refused.value.field == field


def test_girdle_words_may_be_written_with_spaces_and_in_any_order() -> None:
    one = stones.girdle_multiplier(girdle="Slightly Thick to Medium", width_mm=5.0)
    assert one == stones.girdle_multiplier(girdle="medium-to-slightly-thick", width_mm=5.0)
    assert one[0] == pytest.approx(1.01)


def test_a_report_that_contradicts_itself() -> None:
    """4.31 mm typed for 3.41, and a depth in % that belongs to the true figure."""
    found = stones.check_report(
        cut="round", length_mm=5.6, width_mm=5.58, depth_mm=4.31, weighed_ct=0.65, depth_pct=61.0
    )
    assert not found.agrees
    assert found.difference_pct < -20
    assert any("slip in its digits" in finding for finding in found.findings)
    assert any("lighter" in finding for finding in found.findings)


def test_a_report_of_a_fancy_cut_takes_its_depth_from_the_width() -> None:
    found = stones.check_report(
        cut="oval", length_mm=8.0, width_mm=5.5, depth_mm=3.52, weighed_ct=0.99, depth_pct=64.0
    )
    assert found.agrees


def test_a_round_has_no_length_to_width() -> None:
    with pytest.raises(BadInput) as refused:
        stones.size_from_weight(cut="round", weight_ct=1.0, length_to_width=1.3)
    assert refused.value.field == "length_to_width"


def test_diameters_the_wrong_way_round() -> None:
    with pytest.raises(BadInput) as refused:
        stones.mean_diameter_mm(diameter_min_mm=6.6, diameter_max_mm=6.5)
    assert refused.value.field == "diameter_min_mm"


@pytest.mark.parametrize("typed", ["", "abc", "1e3", "1_0", "--1", "1.2.3", "nan", "Infinity", "٣", "9" * 30])
def test_what_is_no_weight_is_refused(typed: str) -> None:
    with pytest.raises(BadInput) as refused:
        stones.carat_display(weight_ct=typed)
    assert refused.value.field == "weight_ct"


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("0.999", "1.00"),
        ("0.995", "0.99"),
        ("1,768", "1.76"),
        ("1.7689", "1.76"),
        ("1.52", "1.52"),
        ("2 ct", "2.00"),
    ],
)
def test_the_display_rule(typed: str, shown: str) -> None:
    assert stones.carat_display(weight_ct=typed) == shown


@pytest.mark.parametrize("fraction", ["", "1/0", "one half", "1e9/2", "9" * 9 + "/2", "2/3"])
def test_a_fraction_must_be_one_and_lie_in_its_range(fraction: str) -> None:
    with pytest.raises(BadInput) as refused:
        stones.fraction_statement(fraction=fraction, low_ct="0.47", high_ct="0.54")
    assert refused.value.field == "fraction"


def test_fractions_points_and_grains() -> None:
    said = stones.fraction_statement(fraction="1 1/4", low_ct="1.23", high_ct="1.29")
    assert said == "1 1/4 ct (weighs 1.23 to 1.29 ct)"
    assert stones.points_statement(weight_ct="0.259") == "0.26 ct (26 points)"
    assert stones.trade_grains(weight_ct="0.25") == Decimal(1)


def test_a_bad_row_of_many_is_named() -> None:
    with pytest.raises(BadInput) as refused:
        weights_ct(cut="round", length_mm=[6.5, 0.0], width_mm=[6.5, 6.5], depth_mm=[4.0, 4.0])
    assert refused.value.field == "length_mm"
    assert "row 2" in refused.value.message
    with pytest.raises(BadInput):
        weights_ct(cut="round", length_mm=[np.nan], width_mm=[6.5], depth_mm=[4.0])
    assert weights_ct(cut="pear", length_mm=[], width_mm=[], depth_mm=[]).size == 0


@pytest.mark.parametrize(
    ("typed", "sieve"),
    [
        ("6.5-7", "+6.5-7"),
        ("+6½ −7", "+6.5-7"),
        ("6 1/2 - 7", "+6.5-7"),
        ("6,5–7", "+6.5-7"),
        ("6.5", "+6.5-7"),
        ("0-1", "+0-1"),
        ("-0000", "-0000"),
        ("+0000-000", "+0000-000"),
        ("2.0-2.5", "+2-2.5"),
        ("19½-20", "+19.5-20"),
    ],
)
def test_sieves_as_people_write_them(typed: str, sieve: str) -> None:
    assert melee.plate_named(sieve=typed).sieve == sieve


@pytest.mark.parametrize("typed", ["", "00", "6-7", "21", "abc", "6.5-7-8", "½", "6.5-" + "7" * 60])
def test_what_is_no_sieve_is_refused(typed: str) -> None:
    with pytest.raises(BadInput) as refused:
        melee.plate_named(sieve=typed)
    assert refused.value.field == "sieve"


def test_the_printed_tenfold_slip_of_a_sold_table_is_caught() -> None:
    """One table prints 0.065 ct for 1.1 mm, ten times too much."""
    lot = melee.check_lot(count=200, weight_ct=1.20, diameter_mm=1.12, stated_mean_ct=0.065)
    assert lot.verdict == "tenfold"
    assert "slipped" in lot.findings[0]


def test_a_lot_of_the_wrong_size_is_outside_and_not_a_slip() -> None:
    lot = melee.check_lot(count=100, weight_ct=1.6, diameter_mm=1.3)
    assert lot.verdict == "outside"
    assert "Count again" in lot.findings[0]
    assert "sieve +2.5-3" in lot.findings[0]


def test_an_area_needs_an_outline_and_a_width_within_the_length() -> None:
    with pytest.raises(BadInput) as refused:
        stones.face_area_mm2(cut="trilliant", length_mm=6, width_mm=6)
    assert refused.value.field == "cut"
    with pytest.raises(BadInput) as refused:
        stones.face_area_mm2(cut="oval", length_mm=6, width_mm=7)
    assert refused.value.field == "width_mm"


def test_empty_lists_are_refused() -> None:
    with pytest.raises(BadInput):
        stones.table_percent(table_widths_mm=(), mean_diameter_mm=6.5)
    with pytest.raises(BadInput):
        melee.diameter_spread_mm(diameters_mm=())
