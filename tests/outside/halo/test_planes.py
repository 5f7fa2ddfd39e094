"""Halos against shapely's plane geometry and Steiner's formula for parallel curves."""

from __future__ import annotations

import math
from typing import Any

import pytest
import shapely

from gemcalc.__main__ import answer
from tests.outside.halo.cases import case

FINE = 8192


def _disc(x: float, y: float, r: float) -> shapely.Polygon:
    return shapely.Point(x, y).buffer(r, quad_segs=FINE)


def _lens(width: float, length: float) -> tuple[float, float]:
    """Radius and offset of the two discs whose intersection is that wide and long."""
    radius = (width**2 / 4 + length**2 / 4) / width
    return radius, radius - width / 2


def _round() -> tuple[dict[str, Any], shapely.Polygon]:
    return {"cut": "round", "diameter_mm": 6.5}, _disc(0, 0, 3.25)


def _marquise() -> tuple[dict[str, Any], shapely.Polygon]:
    radius, offset = _lens(5.0, 10.0)
    data = {"cut": "marquise", "length_mm": 10.0, "width_mm": 5.0}
    return data, _disc(offset, 0, radius) & _disc(-offset, 0, radius)


def _cushion() -> tuple[dict[str, Any], shapely.Polygon]:
    data = {"cut": "cushion", "length_mm": 8.0, "width_mm": 6.5, "corner_radius_mm": 1.6, "side_bow_mm": 0.0}
    return data, shapely.box(-1.65, -2.4, 1.65, 2.4).buffer(1.6, quad_segs=FINE)


def _princess() -> tuple[dict[str, Any], shapely.Polygon]:
    return {"cut": "princess", "length_mm": 5.5, "width_mm": 5.5}, shapely.box(-2.75, -2.75, 2.75, 2.75)


def _emerald() -> tuple[dict[str, Any], shapely.Polygon]:
    box = shapely.box(-3, -4, 3, 4)
    cut = shapely.Polygon([(6.1, 0), (0, 6.1), (-6.1, 0), (0, -6.1)])
    return {"cut": "emerald", "length_mm": 8.0, "width_mm": 6.0, "corner_mm": 0.9}, box & cut


def _pear() -> tuple[dict[str, Any], shapely.Polygon]:
    radius, offset = _lens(6.0, 12.0)
    top = _disc(offset, 0, radius) & _disc(-offset, 0, radius) & shapely.box(-3, 0, 3, 6)
    bottom = _disc(0, 0, 3) & shapely.box(-3, -3, 3, 0)
    return {"cut": "pear", "length_mm": 9.0, "width_mm": 6.0}, shapely.union(top, bottom, grid_size=1e-9)


def _oval() -> tuple[dict[str, Any], shapely.Polygon]:
    data = {"cut": "oval", "length_mm": 8.0, "width_mm": 6.0}
    return data, shapely.transform(_disc(0, 0, 1), lambda xy: xy * [3.0, 4.0])


STONES = {
    make.__name__[1:]: make for make in (_round, _marquise, _cushion, _princess, _emerald, _pear, _oval)
}


@pytest.fixture(scope="module", params=sorted(STONES))
def halo(request: pytest.FixtureRequest) -> tuple[shapely.Polygon, dict[str, Any]]:
    data, polygon = STONES[request.param]()
    return polygon, answer("halo", case(data, wanted=1.3))


def test_every_stone_keeps_its_distance_by_shapely(halo: tuple[shapely.Polygon, dict[str, Any]]) -> None:
    """To a tenth of a micrometre, with outlines made of shapely's own discs and boxes."""
    polygon, answered = halo
    assert answered["feasible"]
    for stone in answered["stones"]:
        away = polygon.exterior.distance(shapely.Point(stone["x_mm"], stone["y_mm"]))
        assert away == pytest.approx(0.10 + stone["diameter_mm"] / 2, abs=1e-4)
        assert not polygon.contains(shapely.Point(stone["x_mm"], stone["y_mm"]))


def test_no_two_stones_meet_by_shapely(halo: tuple[shapely.Polygon, dict[str, Any]]) -> None:
    _, answered = halo
    discs = [_disc(s["x_mm"], s["y_mm"], s["diameter_mm"] / 2) for s in answered["stones"]]
    tree = shapely.STRtree(discs)
    pairs = tree.query(discs, predicate="dwithin", distance=0.03 - 5e-4)
    assert all(a == b for a, b in pairs.T)


def test_areas_by_shapely(halo: tuple[shapely.Polygon, dict[str, Any]]) -> None:
    polygon, answered = halo
    middles = shapely.Polygon([(s["x_mm"], s["y_mm"]) for s in answered["stones"]])
    discs = shapely.union_all([_disc(s["x_mm"], s["y_mm"], s["diameter_mm"] / 2) for s in answered["stones"]])
    left = middles.difference(polygon).difference(discs).area
    assert answered["figures"]["inner_gap_area_mm2"] == pytest.approx(left, abs=2e-4)


def test_the_chain_is_no_longer_than_its_parallel_curve(halo: tuple[shapely.Polygon, dict[str, Any]]) -> None:
    """
    Steiner's formula: a curve parallel to a convex outline at distance a has length P + 2 pi a.

    Chords are shorter than the curve they cut, so the chain of middles stays below the curve of the largest
    stone, and not far below that of the smallest: a chord c on curvature k falls short by about c^3 k^2 / 24.
    """
    polygon, answered = halo
    stones = answered["stones"]
    sizes = [stone["diameter_mm"] for stone in stones]
    shorter, longer = (
        polygon.exterior.length + 2 * math.pi * (0.10 + size / 2) for size in (min(sizes), max(sizes))
    )
    chain = shapely.LinearRing([(s["x_mm"], s["y_mm"]) for s in stones]).length
    assert 0.98 * shorter < chain < longer
    assert len(stones) <= longer / (min(sizes) + 0.03)
