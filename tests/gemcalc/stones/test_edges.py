"""Every range of stones, melee and rings: both edges are accepted, a hair beyond is refused by name."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from gemcalc import melee, rings, stones
from gemcalc.errors import OutOfRange
from gemcalc.ring_of_stones import (
    even_gap_mm,
    gap_bead_diameters_mm,
    line_of_centres_mm,
    ring_of_stones,
)
from gemcalc.stones.fitted import fitted_round_factor

Function = Callable[..., Any]

ROUND = {"cut": "round", "length_mm": 6.5, "width_mm": 6.5, "depth_mm": 4.0}
LOT = {"count": 100, "weight_ct": 1.0, "diameter_mm": 1.3}
RING = {"centre_diameter_mm": 6.5, "melee_diameter_mm": 1.3, "clearance_mm": 0.15, "gap_mm": 0.1}
FIT = {"diameter_mm": 6.5, "depth_pct": 61.5, "table_pct": 57.0}
GAP = {"centre_line_radius_mm": 4.0, "diameter_mm": 1.3, "count": 18}
CHECK = {**ROUND, "weighed_ct": 1.02}
LAW = {"weight_ct": 1.0, "diameter_at_1_ct_mm": 6.5}

# Function, its other arguments, the parameter, low, high.
RANGES: list[tuple[Function, dict[str, Any], str, float, float]] = [
    (stones.weight_from_measures, ROUND, "depth_mm", 0.1, 100),
    (stones.weight_from_measures, ROUND, "table_pct", 30, 95),
    (stones.factor_at, {"cut": "emerald"}, "length_to_width", 0.5, 5),
    (stones.girdle_multiplier, {"girdle": "thick"}, "width_mm", 0.3, 100),
    (fitted_round_factor, FIT, "diameter_mm", 3.7, 10.7),
    (fitted_round_factor, FIT, "depth_pct", 55, 69),
    (fitted_round_factor, FIT, "table_pct", 51, 68),
    (stones.size_from_weight, {"cut": "round"}, "weight_ct", 0.001, 1000),
    (stones.size_from_weight, {"cut": "oval", "weight_ct": 1.0}, "length_to_width", 0.5, 5),
    (stones.diameter_by_law, LAW, "weight_ct", 0.001, 1000),
    (stones.diameter_by_law, LAW, "diameter_at_1_ct_mm", 5, 8),
    (stones.mean_diameter_mm, {"diameter_max_mm": 100.0}, "diameter_min_mm", 0.3, 100),
    (stones.mean_diameter_mm, {"diameter_min_mm": 0.3}, "diameter_max_mm", 0.3, 100),
    (stones.depth_percent, {"across_mm": 6.5}, "depth_mm", 0.1, 100),
    (stones.depth_percent, {"depth_mm": 4.0}, "across_mm", 0.3, 100),
    (stones.depth_from_percent, {"across_mm": 6.5}, "depth_pct", 10, 120),
    (stones.depth_from_percent, {"depth_pct": 61.0}, "across_mm", 0.3, 100),
    (stones.length_to_width, {"width_mm": 6.0}, "length_mm", 0.3, 100),
    (stones.length_to_width, {"length_mm": 6.0}, "width_mm", 0.3, 100),
    (stones.table_percent, {"table_widths_mm": (0.2,)}, "mean_diameter_mm", 0.3, 100),
    (stones.spread_percent, {"weight_ct": 1.0}, "diameter_mm", 0.3, 100),
    (stones.spread_percent, {"diameter_mm": 6.5}, "weight_ct", 0.001, 1000),
    (stones.check_report, CHECK, "weighed_ct", 0.001, 1000),
    (stones.check_report, CHECK, "depth_pct", 10, 120),
    (stones.face_area_mm2, {"cut": "oval", "width_mm": 0.3}, "length_mm", 0.3, 100),
    (stones.face_area_mm2, {"cut": "oval", "length_mm": 100.0}, "width_mm", 0.3, 100),
    (stones.face_area_mm2, {"cut": "emerald", "length_mm": 7, "width_mm": 5}, "corner_mm", 0, 2.5),
    (stones.same_face_round_mm, {}, "area_mm2", 0.05, 10_000),
    (stones.grams_from_carats, {}, "weight_ct", 0, 100_000),
    (stones.troy_grains_from_carats, {}, "weight_ct", 0, 100_000),
    (melee.plate_of_diameter, {}, "diameter_mm", 0.70, 4.50),
    (melee.melee_of_diameter, {}, "diameter_mm", 0.70, 4.50),
    (melee.mean_weight_ct, {"weight_ct": 1.0}, "count", 1, 1_000_000),
    (melee.mean_weight_ct, {"count": 100}, "weight_ct", 0.0005, 100_000),
    (melee.weight_of_count_ct, {"diameter_mm": 1.3}, "count", 1, 1_000_000),
    (melee.count_in_weight, {"diameter_mm": 1.3}, "weight_ct", 0.0005, 100_000),
    (melee.check_lot, LOT, "stated_mean_ct", 0.00001, 10),
    (melee.check_lot, LOT, "diameter_mm", 0.70, 4.50),
    (rings.ring_of_circumference, {}, "circumference_mm", 30, 90),
    (rings.ring_of_circumference, {"circumference_mm": 54.0}, "band_width_mm", 0.5, 30),
    (rings.ring_of_diameter, {}, "diameter_mm", 9.55, 28.64),
    (rings.steps_of, {"system": "us"}, "circumference_mm", 30, 90),
    (rings.iso_label, {}, "circumference_mm", 30, 90),
    (ring_of_stones, RING, "centre_diameter_mm", 0.5, 60),
    (ring_of_stones, RING, "clearance_mm", 0, 10),
    (ring_of_stones, {**RING, "centre_diameter_mm": 60.0}, "melee_diameter_mm", 0.3, 60),
    (ring_of_stones, {**RING, "centre_diameter_mm": 60.0}, "gap_mm", 0, 10),
    (even_gap_mm, GAP, "centre_line_radius_mm", 0.1, 100),
    (even_gap_mm, GAP, "diameter_mm", 0.1, 100),
    (even_gap_mm, GAP, "count", 2, 10_000),
    (line_of_centres_mm, {"offset_mm": 0.8}, "perimeter_mm", 1, 500),
    (line_of_centres_mm, {"perimeter_mm": 22.0}, "offset_mm", 0, 30),
    (gap_bead_diameters_mm, {"melee_diameter_mm": 1.3}, "centre_diameter_mm", 0.5, 60),
    (gap_bead_diameters_mm, {"centre_diameter_mm": 6.5}, "melee_diameter_mm", 0.3, 60),
]

# A measure cannot stand at its edge while the others stay as they are: these move together.
TOGETHER = [
    (stones.weight_from_measures, {**ROUND, "length_mm": 0.3, "width_mm": 0.3}, "length_mm", -1),
    (stones.weight_from_measures, {**ROUND, "length_mm": 0.3, "width_mm": 0.3}, "width_mm", -1),
    (stones.weight_from_measures, {**ROUND, "length_mm": 100.0, "width_mm": 100.0}, "length_mm", 1),
    (stones.weight_from_measures, {**ROUND, "length_mm": 100.0, "width_mm": 100.0}, "width_mm", 1),
    (ring_of_stones, {**RING, "centre_diameter_mm": 0.5, "melee_diameter_mm": 0.3}, "centre_diameter_mm", -1),
]


def ids(row: tuple[Any, ...]) -> str:
    return f"{row[0].__name__}-{row[2]}"


CASES = [pytest.param(*row, id=ids(row)) for row in RANGES]


@pytest.mark.parametrize(("function", "others", "name", "low", "high"), CASES)
def test_both_edges_are_accepted(
    function: Function, others: dict[str, Any], name: str, low: float, high: float
) -> None:
    if function is ring_of_stones and name == "centre_diameter_mm":
        others = {**others, "melee_diameter_mm": 0.3}
    assert function(**{**others, name: low}) is not None
    assert function(**{**others, name: high}) is not None


@pytest.mark.parametrize(("function", "others", "name", "low", "high"), CASES)
def test_a_hair_beyond_is_refused_by_name(
    function: Function, others: dict[str, Any], name: str, low: float, high: float
) -> None:
    whole = name == "count"
    below = low - 1 if whole else math.nextafter(low, -math.inf)
    above = high + 1 if whole else math.nextafter(high, math.inf)
    for value in (below, above, math.nan, math.inf, -math.inf):
        with pytest.raises(OutOfRange) as refused:
            function(**{**others, name: value})
        assert refused.value.field == name
        assert (refused.value.low, refused.value.high) == (pytest.approx(low), pytest.approx(high))


@pytest.mark.parametrize(
    ("function", "at_edge", "name", "way"),
    [pytest.param(*row, id=f"{ids(row)}-{'low' if row[3] < 0 else 'high'}") for row in TOGETHER],
)
def test_edges_of_measures_that_move_together(
    function: Function, at_edge: dict[str, Any], name: str, way: int
) -> None:
    assert function(**at_edge) is not None
    with pytest.raises(OutOfRange) as refused:
        function(**{**at_edge, name: math.nextafter(at_edge[name], way * math.inf)})
    assert refused.value.field == name


@pytest.mark.parametrize("system", ["iso", "us", "uk", "jp", "ch"])
def test_sizes_end_at_30_and_90_mm(system: str) -> None:
    for around in (30.0, 90.0):
        steps = rings.steps_of(system=system, circumference_mm=around)
        assert rings.circumference_mm(system=system, steps=steps) == pytest.approx(around)
        with pytest.raises(OutOfRange) as refused:
            rings.circumference_mm(system=system, steps=steps + (0.01 if around == 90 else -0.01))
        assert refused.value.field == "size"


@pytest.mark.parametrize(("low", "high"), [(0.0, 20.0)])
def test_conventions_are_compared_from_us_0_to_20(low: float, high: float) -> None:
    for steps in (low, high):
        assert rings.us_spread_mm(steps=steps) > 0
    for steps in (low - 0.01, high + 0.01):
        with pytest.raises(OutOfRange):
            rings.us_diameters_mm(steps=steps)
        with pytest.raises(OutOfRange):
            rings.us_spread_mm(steps=steps)


def test_the_popular_chart_is_held_from_a_to_y() -> None:
    for steps in (0.0, 24.0):
        assert rings.uk_chart_circumference_mm(steps=steps) > 37
    for steps in (-0.01, 24.01):
        with pytest.raises(OutOfRange):
            rings.uk_chart_circumference_mm(steps=steps)


def test_each_measured_width_and_diameter_is_looked_at() -> None:
    with pytest.raises(OutOfRange):
        stones.table_percent(table_widths_mm=(3.7, 0.04), mean_diameter_mm=6.5)
    with pytest.raises(OutOfRange):
        stones.table_percent(table_widths_mm=(3.7, 6.6), mean_diameter_mm=6.5)
    with pytest.raises(OutOfRange):
        melee.diameter_spread_mm(diameters_mm=(1.3, 0.49))
    with pytest.raises(OutOfRange):
        melee.diameter_spread_mm(diameters_mm=(1.3, 5.01))
    assert melee.diameter_spread_mm(diameters_mm=(0.5, 5.0)) == (2.75, 0.5, 5.0)
