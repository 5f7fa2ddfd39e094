"""
The round factor from first principles.

GIA's paper on the weight ratio publishes the proportions of a reference round brilliant: table 57,
crown 34.0 degrees, pavilion 40.7 degrees, girdle 2.5 %, star 50, lower half 80, depth 60.0 %.
Its 57 facets are planes; scipy intersects them.
"""

from __future__ import annotations

import math
from itertools import pairwise

import numpy as np
import pytest
from scipy.spatial import ConvexHull, HalfspaceIntersection

from gemcalc.stones import GIRDLES, factor_at
from tests.outside.limits import keeps

DENSITY_G_CM3 = 3.515
MAIN = math.radians(22.5)
HALF = math.radians(11.25)


def facet(azimuth: float, slope: float, through: float, height: float, up: bool) -> list[float]:
    """Half-space under a facet that falls by *slope* outwards at *height* where it passes *through*."""
    sign = 1.0 if up else -1.0
    nx, ny = slope * math.cos(azimuth), slope * math.sin(azimuth)
    return [nx, ny, sign, -(slope * through + sign * height)]


def brilliant(
    *, table: float, crown_deg: float, pavilion_deg: float, girdle: float
) -> tuple[float, float, int]:
    """Volume over diameter cubed, depth over diameter, and the count of facets, for diameter 2 (radius 1)."""
    crown, pavilion = math.tan(math.radians(crown_deg)), math.tan(math.radians(pavilion_deg))
    top = 2 * girdle
    crown_height = (1 - table) * crown
    edge = table * math.cos(MAIN)
    tip = edge + 0.5 * (1 - edge)
    tip_height = (1 - tip * math.cos(MAIN)) * crown
    star = (crown_height - tip_height) / (tip - edge)
    upper = tip_height / (math.cos(HALF) * (1 - tip))
    low_tip = 0.2
    lower = (1 - low_tip * math.cos(MAIN)) * pavilion / (math.cos(HALF) * (1 - low_tip))

    planes = [[0.0, 0.0, 1.0, -(top + crown_height)]]
    for eighth in range(8):
        at = eighth * math.pi / 4
        planes.append(facet(at, crown, 1.0, top, True))
        planes.append(facet(at + MAIN, star, edge, top + crown_height, True))
        planes.append(facet(at, pavilion, 1.0, 0.0, False))
        for side in (-HALF, HALF):
            planes.append(facet(at + side, upper, math.cos(HALF), top, True))
            planes.append(facet(at + side, lower, math.cos(HALF), 0.0, False))
    facets = len(planes)
    sides = 720
    apothem = math.sqrt(math.pi / (sides * math.tan(math.pi / sides)))
    for side in range(sides):
        at = 2 * math.pi * side / sides
        planes.append([math.cos(at), math.sin(at), 0.0, -apothem])
    solid = HalfspaceIntersection(np.array(planes), np.array([0.0, 0.0, girdle]))
    return ConvexHull(solid.intersections).volume / 8, (top + crown_height + pavilion) / 2, facets


def factor(volume: float, depth: float) -> float:
    """Weight over diameter squared times depth, ct/mm3."""
    return volume / depth * DENSITY_G_CM3 / 1000 / 0.2


def test_the_reference_stone_has_57_facets_and_the_published_depth() -> None:
    _, depth, facets = brilliant(table=0.57, crown_deg=34.0, pavilion_deg=40.7, girdle=0.025)
    assert facets == 57
    assert 100 * depth == pytest.approx(60.0, abs=0.05)


def test_its_volume() -> None:
    volume, _, _ = brilliant(table=0.57, crown_deg=34.0, pavilion_deg=40.7, girdle=0.025)
    keeps("solid-volume", 100 * abs(volume / 0.20408 - 1))


def test_its_weight_is_that_of_the_plain_factor() -> None:
    volume, depth, _ = brilliant(table=0.57, crown_deg=34.0, pavilion_deg=40.7, girdle=0.025)
    plain = factor_at(cut="round", length_to_width=1.0)
    keeps("solid-reference", 100 * abs(factor(volume, depth) / plain - 1))


def test_with_a_medium_girdle_it_meets_the_factor_within_a_quarter_per_cent() -> None:
    volume, depth, _ = brilliant(table=0.57, crown_deg=34.0, pavilion_deg=40.7, girdle=0.035)
    assert factor(volume, depth) == pytest.approx(factor_at(cut="round", length_to_width=1.0), rel=0.0025)


def test_a_girdle_moves_the_weight_as_the_words_say() -> None:
    """A point of girdle adds about 2 %; thin to extremely thick lie between the printed multipliers."""
    factors = []
    for girdle in (0.02, 0.03, 0.04, 0.05, 0.06, 0.07):
        volume, depth, _ = brilliant(table=0.57, crown_deg=34.0, pavilion_deg=40.7, girdle=girdle)
        factors.append(factor(volume, depth))
    steps = [100 * (right / left - 1) for left, right in pairwise(factors)]
    assert all(1.7 <= step <= 2.3 for step in steps)
    rows = {row.key: row for row in GIRDLES}
    medium = factor_at(cut="round", length_to_width=1.0)
    for word, one in zip(("thin", "slightly-thick", "thick", "very-thick"), (0, 2, 3, 4), strict=True):
        # The tables were made by eye: a point and a half either way.
        assert factors[one] / medium == pytest.approx(rows[word].middle, abs=0.015), word


def test_emerald_factors_follow_the_volume_of_a_hipped_roof() -> None:
    """A step-cut pavilion is a hipped roof, so the factor goes as 1.5 - 0.5 / ratio (exact mathematics)."""
    square = factor_at(cut="emerald", length_to_width=1.0)
    for ratio in (1.5, 2.0, 2.5):
        ours = factor_at(cut="emerald", length_to_width=ratio) / square
        assert ours == pytest.approx(1.5 - 0.5 / ratio, rel=0.025)
    assert factor_at(cut="emerald", length_to_width=1.75) == pytest.approx(0.0096, abs=1e-12)
