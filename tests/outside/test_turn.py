"""
Turning a stone under its claws against shapely's areas and against brute force at a hundredth of a degree.
"""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some
from numpy.typing import NDArray
from shapely import Polygon, union_all
from shapely.geometry import Point

from gemcalc.covered import Claw, Mark, ramps
from gemcalc.turn import best_turn

Floats = NDArray[np.float64]


def random_case(seed: int, *, marks: int, claws: int, largest: float) -> tuple[list[Mark], list[Claw]]:
    rng = np.random.default_rng(seed)
    inner = rng.uniform(0.55, 0.9)
    return (
        [
            Mark(
                r=float(np.sqrt(rng.uniform())),
                angle_deg=float(rng.uniform(0, 360)),
                size=float(rng.uniform(0.01, largest)),
                severity=float(rng.uniform(0.2, 3)),
            )
            for _ in range(marks)
        ],
        [
            Claw(
                angle_deg=float(place * 360 / claws + rng.uniform(-8, 8)),
                half_width_deg=float(rng.uniform(4, 14)),
                inner_r=float(inner if rng.uniform() < 0.5 else rng.uniform(0.3, 0.95)),
            )
            for place in range(claws)
        ],
    )


def sector(claw: Claw) -> Polygon:
    """A claw's sector with chords of a hundredth of its width."""
    turn = np.radians(np.linspace(-1, 1, 400) * claw.half_width_deg + claw.angle_deg)
    ring = np.column_stack((np.cos(turn), np.sin(turn)))
    return Polygon(np.vstack((claw.inner_r * ring, 4 * ring[::-1])))


def areas(marks: list[Mark], claws: list[Claw], turn_deg: float) -> list[float]:
    """Covered shares by shapely's polygon clipping."""
    cover = union_all([sector(claw) for claw in claws])
    shares = []
    for mark in marks:
        turn = np.radians(mark.angle_deg + turn_deg)
        disc = Point(mark.r * np.cos(turn), mark.r * np.sin(turn)).buffer(mark.size / 2, quad_segs=200)
        shares.append(disc.intersection(cover).area / disc.area)
    return shares


def brute(marks: list[Mark], claws: list[Claw], turns_deg: Floats, rings: int = 24) -> Floats:
    """Hidden share by counting sunflower points of every disc, about 10⁻³ of a disc each."""
    count = rings * rings
    place = np.arange(count)
    reach, turn = np.sqrt((place + 0.5) / count), place * np.pi * (3 - np.sqrt(5))
    hidden = np.zeros(len(turns_deg))
    total = 0.0
    for mark in marks:
        weight = mark.severity * mark.size**2
        total += weight
        x = mark.r + mark.size / 2 * reach * np.cos(turn)
        y = mark.size / 2 * reach * np.sin(turn)
        radius, angle = np.hypot(x, y), np.degrees(np.arctan2(y, x)) + mark.angle_deg
        covered = np.zeros((len(turns_deg), count), dtype=bool)
        for claw in claws:
            off = (angle[None] + turns_deg[:, None] - claw.angle_deg + 180) % 360 - 180
            covered |= (np.abs(off) <= claw.half_width_deg) & (radius >= claw.inner_r)
        hidden += weight * covered.mean(axis=1)
    return hidden / total


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("largest", [0.08, 0.6])
def test_covered_shares_are_shapelys(seed: int, largest: float) -> None:
    marks, claws = random_case(seed, marks=10, claws=5, largest=largest)
    passings = ramps(marks, claws)
    for turn in np.random.default_rng(seed).uniform(0, 360, 3):
        assert passings.covered(np.radians(turn)) == pytest.approx(areas(marks, claws, turn), abs=2e-5)


@given(
    r=some.floats(0, 1),
    size=some.floats(0.001, 2),
    inner=some.floats(0, 1.2),
    half=some.floats(0.5, 179),
    other=some.floats(0, 360),
    turn=some.floats(-720, 720),
)
@settings(max_examples=150, deadline=None)
def test_any_disc_under_two_overlapping_claws(
    r: float, size: float, inner: float, half: float, other: float, turn: float
) -> None:
    marks = [Mark(r=r, angle_deg=10, size=size)]
    claws = [
        Claw(angle_deg=0, half_width_deg=half, inner_r=inner),
        Claw(angle_deg=other, half_width_deg=20, inner_r=0.5),
    ]
    got = ramps(marks, claws).covered(np.radians(turn))[0]
    # Polygons of fine corners stand for the sectors: their error is that of the corners.
    assert got == pytest.approx(areas(marks, claws, turn)[0], abs=3e-4)


@pytest.mark.parametrize("seed", range(10))
@pytest.mark.parametrize("largest", [0.08, 0.4])
def test_no_turn_by_brute_force_hides_more(seed: int, largest: float) -> None:
    marks, claws = random_case(seed, marks=50, claws=6, largest=largest)
    found = best_turn(marks=marks, claws=claws)
    exact = np.concatenate(
        [found.passings.hidden(turns) for turns in np.array_split(np.radians(np.arange(36000) / 100), 60)]
    )
    assert found.best.hidden >= exact.max() - 1e-9
    assert found.best.hidden <= exact.max() + 0.002 + found.unproved
    assert found.unproved <= 1e-4
    assert found.passings.hidden(np.radians([found.best.rotation_deg]))[0] == pytest.approx(
        found.best.hidden, abs=1e-12
    )


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(6))
def test_counting_points_at_every_hundredth_degree_agrees(seed: int) -> None:
    marks, claws = random_case(seed, marks=12, claws=4, largest=0.2)
    found = best_turn(marks=marks, claws=claws)
    turns = np.arange(36000) / 100
    counted = np.concatenate([brute(marks, claws, part) for part in np.array_split(turns, 360)])
    # Counting is good to the points on the rims, about 1 in 200 of a disc.
    assert found.best.hidden >= counted.max() - 0.005
    exact = np.concatenate([found.passings.hidden(np.radians(part)) for part in np.array_split(turns, 60)])
    assert np.abs(exact - counted).max() < 0.01
    assert np.sqrt(np.mean((exact - counted) ** 2)) < 0.002


@pytest.mark.parametrize("seed", range(10))
def test_small_marks_agree_with_brute_force_by_eye(seed: int) -> None:
    marks, claws = random_case(seed, marks=8, claws=4, largest=0.03)
    found = best_turn(marks=marks, claws=claws)
    near = brute(marks, claws, np.array([found.best.rotation_deg]))[0]
    assert near == pytest.approx(found.best.hidden, abs=0.005)
    assert brute(marks, claws, np.arange(0, 360, 0.25)).max() <= found.best.hidden + 0.005
