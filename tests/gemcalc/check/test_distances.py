"""Distances to outlines: the exact ones against shapely's, and areas against their formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from gemcalc.halo.check import curves, outlines
from tests.gemcalc.check.layouts import OUTLINES


@pytest.mark.parametrize("name", sorted(OUTLINES))
def test_distance_agrees_with_shapely(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """To 1e-7 mm on both sides of the girdle: the polygon is made so fine that its chords hide nothing."""
    monkeypatch.setattr(outlines, "FINE", 16384)
    monkeypatch.setattr(curves, "ARC_POINTS", 16384)
    data = OUTLINES[name]
    made = outlines.BUILDERS[data["cut"]](data)
    points = np.random.default_rng(7).uniform(-6.0, 6.0, (60, 2))
    away = shapely.distance(made.polygon.exterior, shapely.points(points))
    inside = shapely.contains_xy(made.polygon, points[:, 0], points[:, 1])
    assert np.abs(np.where(inside, -away, away) - made.signed(points)).max() < 1e-7


@pytest.mark.parametrize("name", sorted(OUTLINES))
def test_overall_size_is_the_one_asked_for(name: str) -> None:
    data = OUTLINES[name]
    left, low, right, high = outlines.outline(data).polygon.bounds
    if "length_mm" in data:
        assert (right - left, high - low) == pytest.approx((data["width_mm"], data["length_mm"]), abs=2e-5)


def test_a_scanned_girdle_of_thousands_of_points_is_measured_as_exactly() -> None:
    turn = np.linspace(0, 2 * math.pi, 5000, endpoint=False)
    points = np.stack([3.25 * np.cos(turn), 3.25 * np.sin(turn)], axis=1)
    made = outlines.outline({"cut": "outline", "points_mm": points.tolist()})
    asked = np.random.default_rng(11).uniform(-6.0, 6.0, (200, 2))
    closed = np.vstack([points, points[:1]])
    away = curves.to_segments(closed[:-1], closed[1:], asked)
    assert np.abs(np.abs(made.signed(asked)) - away).max() < 1e-12
    assert np.abs(made.signed(asked) - (np.hypot(*asked.T) - 3.25)).max() < 1e-6


def test_areas_have_their_formulas() -> None:
    cut = 0.9
    lens = outlines.outline(OUTLINES["marquise"]).polygon.area
    radius = (2.5**2 + 5.0**2) / (2 * 2.5)
    half = math.asin(5.0 / radius)
    assert math.pi * 3 * 4 == pytest.approx(outlines.outline(OUTLINES["oval"]).polygon.area, abs=5e-5)
    assert radius**2 * (2 * half - math.sin(2 * half)) == pytest.approx(lens, abs=5e-5)
    assert 48 - 2 * cut**2 == pytest.approx(outlines.outline(OUTLINES["emerald"]).polygon.area, abs=1e-9)
    rounded = outlines.outline(OUTLINES["straight cushion"]).polygon.area
    assert 8.0 * 6.5 - (4 - math.pi) * 1.5**2 == pytest.approx(rounded, abs=1e-5)


def test_ellipse_inside_its_evolute_on_the_axes() -> None:
    """From the middle of an ellipse the nearest girdle is half the width away; likewise along the axis."""
    points = np.array([[0.0, 0.0], [0.0, 0.5], [0.0, 1e-13]])
    # On the long axis at height h inside the evolute: b sqrt(1 - h²/(a² - b²)), a = 4, b = 3.
    wanted = [-3.0, -3.0 * math.sqrt(1 - 0.25 / 7.0), -3.0]
    assert wanted == pytest.approx(list(curves.ellipse(3.0, 4.0, points)), abs=1e-9)


def test_superellipse_of_power_two_is_the_ellipse() -> None:
    points = np.random.default_rng(3).uniform(-6.0, 6.0, (400, 2))
    assert np.abs(curves.superellipse(3.0, 4.0, 2.0, points) - curves.ellipse(3.0, 4.0, points)).max() < 1e-9
