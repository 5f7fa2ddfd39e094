"""Outlines rolled up: Steiner's formulae for parallel curves, areas, distances, symmetry."""

import math

import numpy as np
import pytest

from gemcalc.errors import BadInput
from gemcalc.halo.case import read_outline
from gemcalc.halo.outline import girdle

CUTS = [
    {"cut": "round", "diameter_mm": 6.5},
    {"cut": "oval", "length_mm": 8, "width_mm": 6},
    {"cut": "superellipse", "length_mm": 8, "width_mm": 6, "exponent": 2.8},
    {"cut": "superellipse", "length_mm": 8, "width_mm": 6, "exponent": 1.5},
    {"cut": "cushion", "length_mm": 8, "width_mm": 6.5, "corner_radius_mm": 2},
    {"cut": "cushion", "length_mm": 8, "width_mm": 6.5, "corner_radius_mm": 2, "side_bow_mm": 0.3},
    {"cut": "pear", "length_mm": 9, "width_mm": 6},
    {"cut": "marquise", "length_mm": 10, "width_mm": 5},
    {"cut": "emerald", "length_mm": 8, "width_mm": 6, "corner_mm": 1},
    {"cut": "princess", "length_mm": 5.5, "width_mm": 5.5},
    {"cut": "outline", "points_mm": [[3, -2], [3.5, 1], [0, 4], [-3, 2], [-2.5, -3]]},
]
HEART = {"cut": "heart", "length_mm": 7, "width_mm": 6.5}
REACH = 0.75


def rolled(data):
    return girdle(read_outline(data, "centre"), reach=REACH, field="centre")


def perimeter(rolled_up):
    return float(np.sum(np.hypot(np.diff(rolled_up.x), np.diff(rolled_up.y))))


@pytest.mark.parametrize("data", CUTS, ids=lambda data: data["cut"])
def test_a_parallel_curve_is_longer_by_its_turn(data):
    """Steiner: the parallel curve at distance r of a convex outline is longer by 2 pi r."""
    found = rolled(data)
    assert found.length == pytest.approx(perimeter(found) + 2 * math.pi * REACH, abs=2e-5)


@pytest.mark.parametrize("data", CUTS, ids=lambda data: data["cut"])
def test_a_parallel_curve_encloses_what_steiner_says(data):
    found = rolled(data)
    x, y, _, _ = found.place(np.linspace(0, found.length, 40001)[:-1], REACH)
    area = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
    assert area == pytest.approx(found.area + perimeter(found) * REACH + math.pi * REACH**2, abs=1e-4)


@pytest.mark.parametrize("data", CUTS, ids=lambda data: data["cut"])
@pytest.mark.parametrize("distance", [0.3, 1.1])
def test_a_stone_stands_where_it_is_placed(data, distance):
    found = rolled(data)
    x, y, _, _ = found.place(np.linspace(0, found.length, 997), distance)
    depth, gx, gy = found.nearest(x, y)
    assert np.max(np.abs(depth + distance)) < 1e-5
    assert np.max(np.abs(np.hypot(gx, gy) - 1)) < 1e-9


@pytest.mark.parametrize(
    ("data", "area", "length"),
    [
        ({"cut": "round", "diameter_mm": 6.5}, math.pi * 3.25**2, math.pi * 6.5),
        ({"cut": "oval", "length_mm": 8, "width_mm": 6}, math.pi * 12, None),
        ({"cut": "princess", "length_mm": 5, "width_mm": 4}, 20.0, 18.0),
        ({"cut": "emerald", "length_mm": 8, "width_mm": 6, "corner_mm": 1}, 46.0, 20 + 4 * math.sqrt(2)),
        (
            {"cut": "cushion", "length_mm": 8, "width_mm": 6, "corner_radius_mm": 2},
            48 - (4 - math.pi) * 4,
            12 + 4 * math.pi,
        ),
    ],
)
def test_known_areas_and_lengths(data, area, length):
    found = rolled(data)
    assert found.area == pytest.approx(area, abs=5e-5)
    if length is not None:
        assert perimeter(found) == pytest.approx(length, abs=5e-5)


@pytest.mark.parametrize("data", [*CUTS, HEART], ids=lambda data: data["cut"])
def test_the_overall_size_is_kept(data):
    found = rolled(data)
    if data["cut"] in ("round", "outline"):
        return
    assert found.x.max() - found.x.min() == pytest.approx(data["width_mm"], abs=1e-9)
    assert found.y.max() - found.y.min() == pytest.approx(data["length_mm"], abs=1e-6)


def test_only_the_heart_has_a_dent():
    assert all(rolled(data).convex for data in CUTS)
    assert not rolled(HEART).convex


def test_a_stone_in_the_notch_is_as_near_to_both_lobes():
    found = rolled(HEART)
    depth, gx, _ = found.nearest(np.array([1e-9, -1e-9]), np.array([2.0, 2.0]))
    assert depth[0] == pytest.approx(depth[1], abs=1e-8)
    assert abs(gx[0]) > 0.1


@pytest.mark.parametrize(
    ("data", "groups"),
    [
        ({"cut": "round", "diameter_mm": 6.5}, ["D4", "D2", "D1"]),
        ({"cut": "oval", "length_mm": 8, "width_mm": 6}, ["D2", "D1"]),
        ({"cut": "pear", "length_mm": 9, "width_mm": 6}, ["D1"]),
        (HEART, ["D1"]),
        (CUTS[-1], []),
    ],
)
def test_symmetry_is_seen(data, groups):
    found = rolled(data)
    assert [group for group in ("D4", "D2", "D1") if found.mirrored(group)] == groups


def test_the_first_corner_of_a_polygon_changes_nothing():
    points = CUTS[-1]["points_mm"]
    turned = points[2:] + points[:2]
    one = rolled({"cut": "outline", "points_mm": points})
    for other in (turned, points[::-1], [*points, points[0]]):
        two = rolled({"cut": "outline", "points_mm": other})
        assert np.allclose(one.x, two.x, atol=1e-12)
        assert np.allclose(one.phi, two.phi, atol=1e-12)


@pytest.mark.parametrize(
    "points",
    [
        [[0, 0], [4, 4], [4, 0], [0, 4]],
        [[1, 1], [5, 1], [5, 5], [1, 5]],
        [[-2, 0], [0, 0], [2, 0]],
    ],
)
def test_an_impossible_outline_is_refused(points):
    with pytest.raises(BadInput) as caught:
        rolled({"cut": "outline", "points_mm": points})
    assert caught.value.field == "centre.points_mm"
