"""Turning a stone under its claws: plateaus, steps, tolerance, symmetry, and the words of its errors."""

from __future__ import annotations

import io
import json
import subprocess
import sys
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from gemcalc.cli.turn import turn
from gemcalc.covered import Claw, Mark, claw_cells
from gemcalc.errors import BadInput
from gemcalc.marks import MARK_KINDS, angle_from_clock, claw_sectors, clock_from_angle, mark_severity
from gemcalc.sources import SOURCES
from gemcalc.turn import best_turn

ANGLES = some.floats(0, 360)
MARKS = some.lists(
    some.builds(
        Mark,
        r=some.floats(0, 1),
        angle_deg=ANGLES,
        size=some.floats(0.005, 0.3),
        severity=some.floats(0.1, 5),
    ),
    min_size=1,
    max_size=8,
)
CLAWS = some.lists(
    some.builds(Claw, angle_deg=ANGLES, half_width_deg=some.floats(1, 30), inner_r=some.floats(0.2, 1)),
    min_size=1,
    max_size=6,
)


def one_claw(half_width: float = 10, inner: float = 0.8) -> list[Claw]:
    return [Claw(angle_deg=90, half_width_deg=half_width, inner_r=inner)]


def test_one_mark_under_one_claw_has_its_exact_plateau() -> None:
    found = best_turn(marks=[Mark(r=0.9, angle_deg=60, size=0.04)], claws=one_claw())
    spare = 10 - np.degrees(np.arcsin(0.02 / 0.9))
    assert found.best.hidden == pytest.approx(1, abs=1e-12)
    assert found.best.rotation_deg == pytest.approx(30)
    assert (found.best.from_deg, found.best.to_deg) == pytest.approx((30 - spare, 30 + spare))
    assert found.exposed == []
    assert found.hidden_now == 0


def test_a_mark_nearer_the_centre_than_any_tip_stays_exposed() -> None:
    found = best_turn(marks=[Mark(r=0.3, angle_deg=0, size=0.1)], claws=one_claw())
    assert found.best.hidden == 0
    assert found.exposed == [0]
    assert found.best.width_deg == pytest.approx(360)


def test_half_a_disc_beyond_the_tip_is_covered_by_the_lens_of_two_circles() -> None:
    """The tip's circle through the disc's centre: share from the area of two circles in common."""
    r = inner = 0.8
    rho = 0.1
    found = best_turn(marks=[Mark(r=r, angle_deg=0, size=2 * rho)], claws=one_claw(30, inner))
    first = rho**2 * np.arccos(rho / (2 * r))
    second = inner**2 * np.arccos(1 - rho**2 / (2 * r * r))
    lens = first + second - 0.5 * np.sqrt((2 * r - rho) * rho * rho * (2 * r + rho))
    assert found.best.hidden == pytest.approx(1 - lens / (np.pi * rho**2), abs=1e-12)


def test_a_disc_over_the_centre_is_covered_by_its_sectors() -> None:
    claws = [Claw(angle_deg=0, half_width_deg=30, inner_r=0.05)]
    found = best_turn(marks=[Mark(r=0, angle_deg=0, size=0.2)], claws=claws)
    assert found.best.hidden == pytest.approx((1 - 0.25) / 6, abs=1e-12)


def test_weights_are_severity_times_area() -> None:
    marks = [
        Mark(r=0.9, angle_deg=90, size=0.04, severity=3),
        Mark(r=0.2, angle_deg=0, size=0.08, severity=1),
    ]
    found = best_turn(marks=marks, claws=one_claw())
    assert found.hidden_now == pytest.approx(3 * 0.04**2 / (3 * 0.04**2 + 0.08**2))


def test_the_widest_of_equal_plateaus_is_taken_in_its_middle() -> None:
    claws = [
        Claw(angle_deg=0, half_width_deg=8, inner_r=0.7),
        Claw(angle_deg=120, half_width_deg=15, inner_r=0.7),
        Claw(angle_deg=240, half_width_deg=8, inner_r=0.7),
    ]
    found = best_turn(marks=[Mark(r=0.9, angle_deg=0, size=0.02)], claws=claws)
    assert found.best.rotation_deg == pytest.approx(120)
    assert [round(one.rotation_deg) for one in found.alternatives()] == [120, 0, 240]


def test_a_plateau_over_north_is_one_plateau() -> None:
    found = best_turn(marks=[Mark(r=0.9, angle_deg=90, size=0.02)], claws=one_claw())
    assert found.best.rotation_deg == pytest.approx(0, abs=1e-9)
    assert found.best.from_deg < 0 < found.best.to_deg


def test_overlapping_claws_cover_once() -> None:
    claws = [
        *one_claw(),
        Claw(angle_deg=95, half_width_deg=10, inner_r=0.8),
        Claw(angle_deg=90, half_width_deg=4, inner_r=0.5),
    ]
    cells = claw_cells(claws)
    assert sum(cell.width for cell in cells) == pytest.approx(np.radians(25))
    assert {cell.inner_r for cell in cells} == {0.5, 0.8}


def test_claws_all_round_hide_everything_beyond_their_tips() -> None:
    claws = [Claw(angle_deg=0, half_width_deg=180, inner_r=0.5)]
    found = best_turn(marks=[Mark(r=0.9, angle_deg=0, size=0.1)], claws=claws)
    assert found.best.hidden == pytest.approx(1)
    assert found.best.width_deg == pytest.approx(360)


def test_steps_are_kept_and_the_best_of_them_found() -> None:
    marks = [Mark(r=0.9, angle_deg=38, size=0.04)]
    free = best_turn(marks=marks, claws=one_claw())
    stepped = best_turn(marks=marks, claws=one_claw(), step_deg=45)
    assert free.best.rotation_deg == pytest.approx(52)
    assert stepped.best.rotation_deg == 45
    assert stepped.best.from_deg <= 45 <= stepped.best.to_deg
    assert stepped.best.hidden == pytest.approx(free.best.hidden)


def test_the_worst_within_a_degree_is_what_turning_by_hand_can_cost() -> None:
    wide = best_turn(marks=[Mark(r=0.9, angle_deg=60, size=0.04)], claws=one_claw())
    assert wide.worst_near == pytest.approx(1, abs=1e-12)
    narrow = best_turn(marks=[Mark(r=0.9, angle_deg=60, size=0.3)], claws=one_claw())
    assert narrow.worst_near < narrow.best.hidden


@given(marks=MARKS, claws=CLAWS, by=some.floats(-360, 360))
@settings(max_examples=80, deadline=None)
def test_turning_the_claws_turns_the_answer(marks: list[Mark], claws: list[Claw], by: float) -> None:
    turned = [
        Claw(angle_deg=claw.angle_deg + by, half_width_deg=claw.half_width_deg, inner_r=claw.inner_r)
        for claw in claws
    ]
    first, second = best_turn(marks=marks, claws=claws), best_turn(marks=marks, claws=turned)
    assert second.best.hidden == pytest.approx(first.best.hidden, abs=1e-7)
    again = second.passings.hidden(np.radians([first.best.rotation_deg + by]))[0]
    assert again == pytest.approx(first.best.hidden, abs=1e-7)


@given(marks=MARKS, claws=CLAWS)
@settings(max_examples=80, deadline=None)
def test_a_mirror_hides_as_much(marks: list[Mark], claws: list[Claw]) -> None:
    mirrored = best_turn(
        marks=[
            Mark(r=one.r, angle_deg=-one.angle_deg, size=one.size, severity=one.severity) for one in marks
        ],
        claws=[
            Claw(angle_deg=-one.angle_deg, half_width_deg=one.half_width_deg, inner_r=one.inner_r)
            for one in claws
        ],
    )
    assert mirrored.best.hidden == pytest.approx(best_turn(marks=marks, claws=claws).best.hidden, abs=1e-7)


@given(marks=MARKS, claws=CLAWS)
@settings(max_examples=80, deadline=None)
def test_the_answer_keeps_its_promises(marks: list[Mark], claws: list[Claw]) -> None:
    found = best_turn(marks=marks, claws=claws)
    assert 0 <= found.best.rotation_deg < 360
    assert 0 <= found.best.hidden <= 1
    assert found.best.hidden >= found.hidden_now - 1e-9
    assert found.best.from_deg <= found.best.rotation_deg <= found.best.to_deg
    inside = np.radians(np.linspace(found.best.from_deg, found.best.to_deg, 9))
    assert found.passings.hidden(inside) == pytest.approx(found.best.hidden, abs=1e-8)
    assert found.best.hidden >= found.passings.hidden(np.radians(np.arange(0, 360, 0.5))).max() - 1e-9
    for other in found.alternatives():
        assert other.hidden >= 0.95 * found.best.hidden - 1e-8
        assert found.passings.hidden(np.radians([other.rotation_deg]))[0] == pytest.approx(
            other.hidden, abs=1e-8
        )
    stepped = best_turn(marks=marks, claws=claws, step_deg=45)
    assert stepped.best.hidden <= found.best.hidden + 1e-9
    assert stepped.best.rotation_deg % 45 == 0


@given(marks=MARKS, claws=CLAWS, longer=some.floats(0, 0.2))
@settings(max_examples=60, deadline=None)
def test_longer_claws_never_hide_less(marks: list[Mark], claws: list[Claw], longer: float) -> None:
    grown = [
        Claw(angle_deg=one.angle_deg, half_width_deg=one.half_width_deg, inner_r=max(one.inner_r - longer, 0))
        for one in claws
    ]
    assert (
        best_turn(marks=marks, claws=grown).best.hidden
        >= best_turn(marks=marks, claws=claws).best.hidden - 1e-7
    )


MARK: dict[str, Any] = {"r": 0.9, "angle_deg": 60, "size": 0.04, "severity": 1}
CLAW: dict[str, Any] = {"angle_deg": 90, "half_width_deg": 10, "inner_r": 0.8}


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"marks": None}, "marks", "needed"),
        ({"marks": []}, "marks", "at least one mark"),
        ({"marks": {}}, "marks", "list"),
        ({"marks": [1]}, "marks", "list"),
        ({"marks": [MARK | {"r": 1.5}]}, "marks", "entry 1: r"),
        ({"marks": [MARK, MARK | {"size": 0}]}, "marks", "entry 2: size"),
        ({"marks": [MARK | {"angle_deg": None}]}, "marks", "entry 1: angle_deg is needed"),
        ({"marks": [MARK | {"severity": -1}]}, "marks", "entry 1: severity"),
        ({"marks": [MARK | {"severity": 0}]}, "marks", "above 0"),
        ({"marks": [MARK] * 2001}, "marks", "at most 2000"),
        ({"claws": []}, "claws", "at least one claw"),
        ({"claws": [CLAW | {"half_width_deg": 200}]}, "claws", "entry 1: half_width_deg"),
        ({"claws": [CLAW] * 65}, "claws", "at most 64"),
        ({"step_deg": 0}, "step_deg", "from 0.1"),
        ({"step_deg": "often"}, "step_deg", "number"),
    ],
)
def test_errors_name_the_field(change: dict[str, Any], field: str, words: str) -> None:
    with pytest.raises(BadInput, match=words) as refused:
        turn({"marks": [MARK], "claws": [CLAW], **change})
    assert refused.value.field == field


def test_the_command_answers_with_every_promised_key() -> None:
    data = json.dumps({"marks": [MARK], "claws": [CLAW], "step_deg": None}).encode()
    done = subprocess.run(
        [sys.executable, "-m", "gemcalc", "turn"], input=data, capture_output=True, check=False
    )
    assert done.returncode == 0
    answer = json.loads(done.stdout)
    assert {"rotation_deg", "hidden", "hidden_now", "best_range_deg", "exposed"} <= answer.keys()
    assert answer["rotation_deg"] == pytest.approx(30)
    assert all(key in SOURCES for key in answer["sources"])


@pytest.mark.parametrize(
    "bytes_in",
    [b"", b"\xff\xfe\x00", b"[]", b"nul", b'{"marks":' + b"[" * 3000, b'{"marks":[{"r":1e999}],"claws":3}'],
)
def test_any_bytes_get_a_sentence_and_no_traceback(bytes_in: bytes) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "gemcalc", "turn"], input=bytes_in, capture_output=True, check=False
    )
    assert done.returncode == 2
    assert done.stdout == b""
    assert json.load(io.BytesIO(done.stderr))["error"]["message"]


@pytest.mark.parametrize(
    ("clock", "angle"),
    [
        ("12 o'clock", 90),
        ("3", 0),
        ("4 o’clock", 330),
        ("6 oclock", 270),
        ("4½", 315),
        ("4:30", 315),
        ("10 1/2", 135),
        ("0", 90),
    ],
)
def test_clock_positions_run_clockwise_from_north(clock: str, angle: float) -> None:
    assert angle_from_clock(clock=clock) == pytest.approx(angle)


@pytest.mark.parametrize("clock", ["", "13", "4:75", "noon", "4 o'clock sharp", "-3", "9" * 50])
def test_other_words_are_no_clock_position(clock: str) -> None:
    with pytest.raises(BadInput) as refused:
        angle_from_clock(clock=clock)
    assert refused.value.field == "clock"


@given(halves=some.integers(0, 23))
def test_clock_and_angle_are_each_others_inverse(halves: int) -> None:
    words = clock_from_angle(angle_deg=15.0 * halves)
    assert angle_from_clock(clock=words) == pytest.approx(15.0 * halves)


def test_a_surface_feather_is_heavier_and_carries_a_caution() -> None:
    inside = mark_severity(kind="feather", reaches_surface=False)
    outside = mark_severity(kind="feather", reaches_surface=True)
    assert outside.weight > inside.weight
    assert "claw" in outside.caution
    assert inside.caution == ""
    assert all(kind.source in SOURCES for kind in MARK_KINDS.values())
    with pytest.raises(BadInput):
        mark_severity(kind="hole", reaches_surface=True)


def test_claw_sectors_are_even_and_to_scale() -> None:
    claws = claw_sectors(count=6, first_angle_deg=30, stone_diameter_mm=6.5, claw_width_mm=1.0, reach_mm=0.5)
    assert [claw.angle_deg for claw in claws] == [30, 90, 150, 210, 270, 330]
    # At the girdle the sector is as wide as the claw.
    assert 2 * 3.25 * np.sin(np.radians(claws[0].half_width_deg)) == pytest.approx(1.0)
    assert (1 - claws[0].inner_r) * 3.25 == pytest.approx(0.5)
    with pytest.raises(BadInput):
        claw_sectors(count=1, first_angle_deg=0, stone_diameter_mm=6.5, claw_width_mm=1, reach_mm=0.5)
