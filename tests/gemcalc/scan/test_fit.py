"""The fit follows its points: turned, shifted, mirrored, shuffled, refitted; and what it refuses."""

from __future__ import annotations

import json
import subprocess
import sys
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from gemcalc.cli.scan import scan
from gemcalc.errors import BadInput
from gemcalc.halo.case import read_outline
from gemcalc.halo.outline import girdle as rolled
from gemcalc.scan.families import CUTS, FAMILIES
from gemcalc.scan.fit import Girdle, fit_girdle
from gemcalc.scan.girdle import outline
from gemcalc.scan.solve import Model
from gemcalc.sources import SOURCES

SHAPES: dict[str, tuple[float, ...]] = {
    "round": (6.5,),
    "oval": (8, 6),
    "superellipse": (7, 6.5, 2.8),
    "cushion": (8, 6.5, 1.8, 0.25),
    "pear": (9, 6),
    "marquise": (10, 5),
    "emerald": (8, 6, 1.0),
    "princess": (6, 5.5),
    "heart": (6.5, 7, 1.68),
}
"""An outline of every family; the heart is broader than long, which its tip decides and not its length."""


def true_outline(name: str, waves: int = 0) -> np.ndarray:
    model = Model(FAMILIES[name], waves)
    return outline(model, np.array([0, 0, 0, *SHAPES[name]], dtype=float))


def noisy(name: str, seed: int, noise: float = 0.015, count: int = 300) -> np.ndarray:
    """Points at even steps along an outline, with normal noise and a few wild ones."""
    ring = true_outline(name)
    closed = np.vstack((ring, ring[:1]))
    place = np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(closed, axis=0).T))))
    at = np.linspace(0, place[-1], count, endpoint=False)
    points = np.column_stack((np.interp(at, place, closed[:, 0]), np.interp(at, place, closed[:, 1])))
    rng = np.random.default_rng(seed)
    points += rng.normal(0, noise, points.shape)
    wild = rng.uniform(size=count) < 0.03
    points[wild] += rng.uniform(-0.4, 0.4, (int(wild.sum()), 2))
    return points


def moved(points: np.ndarray, turn_deg: float, shift: tuple[float, float]) -> np.ndarray:
    turn = np.radians(turn_deg)
    cos, sin = np.cos(turn), np.sin(turn)
    return points @ np.array([[cos, sin], [-sin, cos]]) + shift


def main_figures(girdle: Girdle) -> list[float]:
    figures = girdle.figures
    return [
        figures.length_mm,
        figures.width_mm,
        figures.diameter_min_mm,
        figures.diameter_max_mm,
        figures.perimeter_mm,
        figures.area_mm2,
    ]


def turn_between(first: float, second: float, period: float) -> float:
    return abs((first - second + period / 2) % period - period / 2)


@pytest.mark.parametrize("name", SHAPES)
def test_a_noiseless_outline_is_found_exactly(name: str) -> None:
    girdle = fit_girdle(points_mm=moved(true_outline(name), 33, (1, -2)))
    assert girdle.family == name
    assert list(girdle.parameters.values()) == pytest.approx(SHAPES[name], abs=2e-4)
    assert girdle.outliers == 0
    assert girdle.centre_mm == pytest.approx((1, -2), abs=2e-4)
    if FAMILIES[name].turns:
        period = 360 / FAMILIES[name].symmetry
        assert turn_between(girdle.angle_deg, 33, period) < 0.01


@pytest.mark.parametrize("name", SHAPES)
def test_refitting_the_fitted_outline_changes_nothing(name: str) -> None:
    first = fit_girdle(points_mm=noisy(name, 1))
    second = fit_girdle(points_mm=first.outline_mm)
    assert second.family == first.family
    assert main_figures(second) == pytest.approx(main_figures(first), abs=5e-4)
    assert second.noise_mm < 0.001


@pytest.mark.parametrize("name", SHAPES)
def test_straight_lines_between_the_outlines_points_stay_within_a_micrometre(name: str) -> None:
    ring = true_outline(name)
    assert len(ring) <= 720
    middles = (ring + np.roll(ring, -1, axis=0)) / 2
    shape = np.array([SHAPES[name]], dtype=float)
    off = FAMILIES[name].distance(shape, middles[None, :, 0], middles[None, :, 1])
    assert np.abs(off).max() < 0.001
    on = FAMILIES[name].distance(shape, ring[None, :, 0], ring[None, :, 1])
    assert np.abs(on).max() < 1e-6


@pytest.mark.parametrize("name", SHAPES)
def test_the_halos_own_outline_is_the_same_curve(name: str) -> None:
    """The girdle handed to a halo is the one that was fitted: two ways of drawing the same named outline."""
    girdle = fit_girdle(points_mm=noisy(name, 5), cut=name)
    drawn = rolled(read_outline(girdle.halo_centre, "centre"), reach=0.75, field="centre")
    shape = np.array([list(girdle.parameters.values())])
    off = FAMILIES[girdle.family].distance(shape, drawn.x[None], drawn.y[None])
    assert np.abs(off).max() < 1e-4


@given(
    name=some.sampled_from(sorted(SHAPES)),
    seed=some.integers(0, 3),
    turn=some.floats(-180, 180),
    shift=some.tuples(some.floats(-20, 20), some.floats(-20, 20)),
)
@settings(max_examples=25, deadline=None)
def test_a_turn_and_a_shift_of_the_points_are_followed(
    name: str, seed: int, turn: float, shift: tuple[float, float]
) -> None:
    points = noisy(name, seed)
    first = fit_girdle(points_mm=points, cut=name)
    second = fit_girdle(points_mm=moved(points, turn, shift), cut=name)
    assert second.family == first.family
    # The two begin from different starts and end at the same minimum.
    assert main_figures(second) == pytest.approx(main_figures(first), abs=1e-3)
    assert second.centre_mm == pytest.approx(moved(np.array([first.centre_mm]), turn, shift)[0], abs=1e-3)
    symmetry = FAMILIES[first.family].symmetry
    if symmetry and first.sd["angle_sd_deg"] < 0.5:
        assert turn_between(second.angle_deg, first.angle_deg + turn, 360 / symmetry) < 0.05


@given(name=some.sampled_from(sorted(SHAPES)), seed=some.integers(0, 3))
@settings(max_examples=15, deadline=None)
def test_mirrored_points_give_the_mirrored_girdle(name: str, seed: int) -> None:
    points = moved(noisy(name, seed), 20, (1, 2))
    first = fit_girdle(points_mm=points, cut=name)
    second = fit_girdle(points_mm=points * [-1, 1], cut=name)
    assert main_figures(second) == pytest.approx(main_figures(first), abs=1e-3)
    assert second.centre_mm == pytest.approx((-first.centre_mm[0], first.centre_mm[1]), abs=1e-3)
    symmetry = FAMILIES[first.family].symmetry
    if symmetry:
        assert turn_between(second.angle_deg, -first.angle_deg, 360 / symmetry) < 0.05


def test_the_order_of_the_points_does_not_matter() -> None:
    points = noisy("pear", 2)
    shuffled = np.random.default_rng(9).permutation(points)
    first, second = fit_girdle(points_mm=points), fit_girdle(points_mm=shuffled)
    assert main_figures(first) == main_figures(second)
    assert first.outline_mm.tolist() == second.outline_mm.tolist()
    assert sorted(map(tuple, points[list(first.outlier_indices)])) == sorted(
        map(tuple, shuffled[list(second.outlier_indices)])
    )


@pytest.mark.parametrize("scale", [0.25, 1, 4])
def test_figures_scale_with_the_stone(scale: float) -> None:
    girdle = fit_girdle(points_mm=true_outline("oval") * scale)
    assert girdle.figures.length_mm == pytest.approx(8 * scale, abs=5e-4)
    assert girdle.figures.area_mm2 == pytest.approx(np.pi * 12 * scale**2, rel=1e-4)


def test_gross_outliers_far_away_are_survived() -> None:
    points = noisy("cushion", 3)
    wild = np.random.default_rng(1).uniform(-60, 60, (25, 2))
    girdle = fit_girdle(points_mm=np.vstack((points, wild)))
    assert girdle.family == "cushion"
    assert girdle.figures.length_mm == pytest.approx(8, abs=0.02)
    assert girdle.outliers >= 25


def test_a_round_stone_slightly_out_of_round_is_called_round() -> None:
    turn = np.linspace(0, 2 * np.pi, 400)
    points = np.column_stack((3.20 * np.cos(turn), 3.23 * np.sin(turn)))
    girdle = fit_girdle(points_mm=points + np.random.default_rng(0).normal(0, 0.01, points.shape))
    assert girdle.called == "round"
    assert girdle.figures.diameter_min_mm == pytest.approx(6.40, abs=0.01)
    assert girdle.figures.diameter_max_mm == pytest.approx(6.46, abs=0.01)
    assert girdle.halo_centre["cut"] == "oval"


def test_a_wrong_cut_is_said_and_put_right() -> None:
    girdle = fit_girdle(points_mm=noisy("pear", 4), cut="oval")
    assert girdle.family == "pear"
    assert any("pear" in note for note in girdle.notes)


def test_a_hole_is_noted() -> None:
    points = noisy("oval", 4, count=500)
    angle = np.arctan2(points[:, 1], points[:, 0])
    girdle = fit_girdle(points_mm=points[np.abs(angle) > 0.5])
    assert 290 < girdle.seen_arc_deg < 330
    assert any("no points" in note for note in girdle.notes)


@pytest.mark.parametrize("count", [24, 40, 80, 5000])
def test_few_points_and_many(count: int) -> None:
    girdle = fit_girdle(points_mm=noisy("oval", 6, count=count), cut="oval")
    assert girdle.figures.length_mm == pytest.approx(8, abs=5 * girdle.sd["length_sd_mm"])
    assert girdle.noise_mm == pytest.approx(0.015, rel=0.6)


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"points_mm": None}, "points_mm", "needed"),
        ({"points_mm": "1,2"}, "points_mm", "list"),
        ({"points_mm": [[1, 2], [3]]}, "points_mm", "point 2"),
        ({"points_mm": [[1, 2], [True, 3]]}, "points_mm", "point 2"),
        ({"points_mm": [[1, 2], ["a", 3]]}, "points_mm", "point 2"),
        ({"points_mm": [[1, float("nan")]] * 30}, "points_mm", "not a finite number"),
        ({"points_mm": [[1, 10**400]] * 30}, "points_mm", "numbers"),
        ({"points_mm": []}, "points_mm", "0 different points"),
        ({"points_mm": [[1, 2]] * 50}, "points_mm", "1 different points"),
        (
            {"points_mm": [[place, 0.0] for place in range(40)]},
            "points_mm",
            "",
        ),
        ({"points_mm": [[place * 1e9, place] for place in range(40)]}, "points_mm", "100 m away"),
        ({"points_mm": [[place * 10.0, place % 7] for place in range(40)]}, "points_mm", "mm across"),
        ({"points_mm": [[0, 0]] * 100_001}, "points_mm", "at most 100,000"),
        ({"cut": "trillion"}, "cut", "must be one of"),
        ({"cut": 7}, "cut", "must be one of"),
    ],
)
def test_errors_name_the_field(change: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(BadInput, match=words) as refused:
        scan({"points_mm": true_outline("oval").tolist(), **change})
    assert refused.value.field == field
    assert refused.value.message


@given(some.lists(some.tuples(some.floats(-8, 8), some.floats(-8, 8)), min_size=24, max_size=80))
@settings(max_examples=40, deadline=None)
def test_any_cloud_gives_a_girdle_or_a_sentence(points: list[tuple[float, float]]) -> None:
    try:
        girdle = fit_girdle(points_mm=points)
    except BadInput as refused:
        assert refused.field == "points_mm"
    else:
        assert np.isfinite(girdle.outline_mm).all()
        assert all(np.isfinite(value) for value in main_figures(girdle))


def test_the_command_answers_with_every_promised_key() -> None:
    data = json.dumps({"points_mm": noisy("heart", 3).tolist(), "cut": "heart"}).encode()
    done = subprocess.run(
        [sys.executable, "-m", "gemcalc", "scan"], input=data, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    answer = json.loads(done.stdout)
    promised = "centre_mm angle_deg length_mm width_mm diameter_min_mm diameter_max_mm perimeter_mm area_mm2"
    assert {*promised.split(), "outliers", "noise_mm", "outline_mm"} <= answer.keys()
    for name in ("length", "width", "diameter_min", "diameter_max", "perimeter", "centre"):
        assert 0 < answer[f"{name}_sd_mm"] < 0.05
    assert answer["halo_centre"]["cut"] == "heart"
    assert all(key in SOURCES for key in answer["sources"])


def test_every_cut_word_tries_known_outlines() -> None:
    assert all(name in FAMILIES for names in CUTS.values() for name in names)
    assert set(FAMILIES) <= set(CUTS)


@pytest.mark.parametrize(
    "bytes_in",
    [
        b"",
        b"\xff\xfe\x00",
        b"[]",
        b'{"points_mm": [[1e999, 2]]}',
        b'{"points_mm": {"0": 1}}',
        b'{"cut": "oval"}',
        b"[" * 9000,
    ],
)
def test_any_bytes_get_a_sentence_and_no_traceback(bytes_in: bytes) -> None:
    command = [sys.executable, "-m", "gemcalc", "scan"]
    done = subprocess.run(command, input=bytes_in, capture_output=True, check=False)
    assert done.returncode == 2
    assert done.stdout == b""
    assert json.loads(done.stderr)["error"]["message"]
