"""Halos that are known: closed forms, curated cases, and exhaustive optima."""

import math

import numpy as np
import pytest

from gemcalc.halo.case import read_case
from gemcalc.halo.fit import fit
from gemcalc.halo.layout import checked, layout_of
from gemcalc.halo.solve import solve

from .cases import GRADUATED, ROUND, TO_TARGET, case, square_cushion

OVAL = {"cut": "oval", "length_mm": 8, "width_mm": 6}
PEAR = {"cut": "pear", "length_mm": 9, "width_mm": 6}
HEART = {"cut": "heart", "length_mm": 7, "width_mm": 6.5}
MARQUISE = {"cut": "marquise", "length_mm": 10, "width_mm": 5}


def sound(data):
    read = read_case(data)
    layout = checked(read, solve(read))
    assert layout["broken"] == []
    assert layout["feasible"]
    return layout


@pytest.mark.parametrize("diameter", [4.0, 5.0, 6.5, 8.0, 10.0, 12.0])
@pytest.mark.parametrize("melee", [1.1, 1.2, 1.3])
def test_equal_stones_round_a_round_meet_the_closed_form(diameter, melee):
    """n equal stones round a round: gap = 2 (R + g + r) sin(pi / n) - 2 r, to a tenth of a micron."""
    ring = diameter / 2 + 0.1 + melee / 2
    gaps = {n: 2 * ring * math.sin(math.pi / n) - melee for n in range(4, 61, 4)}
    sound_counts = [n for n, gap in gaps.items() if 0.03 <= gap <= 0.12]
    read = read_case(
        case({"cut": "round", "diameter_mm": diameter}, melee={"sizes_mm": [melee]}, symmetry="D4")
    )
    solved = solve(read)
    if not sound_counts:
        assert not solved.sound
        assert solved.optimal
        return
    best = min(sound_counts, key=lambda n: n * (gaps[n] - 0.05) ** 2)
    figures = layout_of(read, solved)["figures"]
    assert figures["stones"] == best
    assert figures["gap_least_mm"] == pytest.approx(gaps[best], abs=1e-4)
    assert figures["gap_worst_mm"] == pytest.approx(gaps[best], abs=1e-4)
    assert figures["cost"] == pytest.approx(best * ((gaps[best] - 0.05) / 0.02) ** 2, rel=1e-3, abs=1e-6)
    assert solved.optimal


CURATED = [
    ("round 6.5", case(ROUND), "D4"),
    ("round 12", case({"cut": "round", "diameter_mm": 12}), "D4"),
    ("oval 8x6", case(OVAL), "D2"),
    ("oval 10x7", case({"cut": "oval", "length_mm": 10, "width_mm": 7}), "D2"),
    ("cushion 7", case(square_cushion(7, 2)), "D4"),
    ("bowed cushion 8x6.5", case({**square_cushion(8, 2), "width_mm": 6.5, "side_bow_mm": 0.3}), "D2"),
    ("pear 9x6", case(PEAR), "D1"),
    ("pear 12x8", case({"cut": "pear", "length_mm": 12, "width_mm": 8}), "D1"),
    ("marquise 10x5", case(MARQUISE), "D2"),
    ("marquise 8x4", case({"cut": "marquise", "length_mm": 8, "width_mm": 4}), "D2"),
    ("emerald 8x6", case({"cut": "emerald", "length_mm": 8, "width_mm": 6, "corner_mm": 1}), "D2"),
    ("square emerald 6", case({"cut": "emerald", "length_mm": 6, "width_mm": 6, "corner_mm": 1.4}), "D4"),
    ("princess 5.5", case({"cut": "princess", "length_mm": 5.5, "width_mm": 5.5}), "D4"),
    ("heart 6.5x7", case(HEART), "D1"),
    ("cushion 9.2 on round 6.5", case(ROUND, target=square_cushion(9.2, 3), rules=TO_TARGET), "D4"),
    ("cushion 9.3 on round 6.5", case(ROUND, target=square_cushion(9.3, 2.6), rules=TO_TARGET), "D4"),
    (
        "superellipse 9.3 on round 6.5",
        case(
            ROUND,
            target={"cut": "superellipse", "length_mm": 9.3, "width_mm": 9.3, "exponent": 2.8},
            rules=TO_TARGET,
        ),
        "D4",
    ),
    (
        "round 9.4 on cushion 6",
        case(square_cushion(6, 2.2), target={"cut": "round", "diameter_mm": 9.4}, rules=TO_TARGET),
        "D4",
    ),
    (
        "two rows on round 6.5",
        case(ROUND, rows=2, rules={"row_gap_min_mm": 0.03, "row_gap_max_mm": 0.12}),
        "D4",
    ),
    (
        "two rows on cushion 7",
        case(square_cushion(7, 2), rows=2, rules={"row_gap_min_mm": 0.03, "row_gap_max_mm": 0.12}),
        "D4",
    ),
    (
        "two rows on pear 9x6",
        case(PEAR, rows=2, rules={"row_gap_min_mm": 0.03, "row_gap_max_mm": 0.12}),
        "D1",
    ),
]


@pytest.mark.parametrize(("data", "symmetry"), [row[1:] for row in CURATED], ids=[row[0] for row in CURATED])
def test_curated_cases_are_sound(data, symmetry):
    if data["target"]:
        data["melee"]["sizes_mm"] = GRADUATED
    layout = sound(data)
    assert layout["symmetry"] == symmetry
    assert {stone["row"] for stone in layout["stones"]} == set(range(1, data["rows"] + 1))


def test_a_cushion_halo_on_a_round_is_graduated_toward_the_corners():
    layout = sound(case(ROUND, target=square_cushion(9.2, 3), melee={"sizes_mm": GRADUATED}, rules=TO_TARGET))
    quarter = sorted(
        (math.atan2(s["y_mm"], s["x_mm"]), s["diameter_mm"])
        for s in layout["stones"]
        if s["y_mm"] > -1e-6 < s["x_mm"]
    )
    half = [d for angle, d in quarter if angle < math.pi / 4 + 1e-6]
    assert half == sorted(half)
    assert half[-1] - half[0] >= 0.4
    assert layout["figures"]["gap_worst_mm"] - layout["figures"]["gap_least_mm"] < 0.01
    assert layout["figures"]["cost"] == pytest.approx(145.36755, abs=1e-3)


def test_one_size_that_cannot_close_is_proved_impossible():
    read = read_case(case(ROUND, melee={"sizes_mm": [1.3]}, rules={"gap_max_mm": 0.05}, symmetry="D4"))
    solved = solve(read)
    assert not solved.sound
    assert solved.optimal


def test_stock_is_kept_and_lowers_the_symmetry_only_where_it_must():
    layout = sound(
        case(ROUND, melee={"sizes_mm": [1.1, 1.2, 1.3], "stock": {"1.10": 8, "1.20": 8, "1.30": 8}})
    )
    assert all(count <= 8 for count in layout["figures"]["counts"].values())
    assert layout["figures"]["stones"] == sum(layout["figures"]["counts"].values())


@pytest.mark.parametrize(
    ("centre", "rays", "symmetry"),
    [
        (PEAR, [90], "any"),
        (HEART, [90], "any"),
        (OVAL, [0, 90], "D2"),
        (OVAL, [30], "D2"),
        (ROUND, [10], "C1"),
    ],
)
def test_stones_are_asked_for_on_rays(centre, rays, symmetry):
    layout = sound(case(centre, rules={"stone_on_deg": rays}, symmetry=symmetry))
    for ray in rays:
        angles = [math.degrees(math.atan2(stone["y_mm"], stone["x_mm"])) for stone in layout["stones"]]
        assert min(abs((angle - ray + 180) % 360 - 180) for angle in angles) < 1e-4


def test_a_bare_corner_can_be_forbidden():
    loose = {"clearance_max_mm": 0.35, "inside_target_max_mm": 0.40, "outside_target_max_mm": 0.08}
    data = case(ROUND, target=square_cushion(9.2, 2.0), melee={"sizes_mm": GRADUATED}, rules=loose)
    free = sound(data)["figures"]["bare_radius_mm"]
    data["rules"]["bare_radius_max_mm"] = free - 0.02
    layout = fit(read_case(data))
    if layout["feasible"]:
        assert layout["figures"]["bare_radius_mm"] <= free - 0.02 + 2e-4
    else:
        assert layout["broken"]
        assert all(other["layout"]["feasible"] for other in layout["alternatives"])
        assert layout["alternatives"]


def test_a_halo_without_symmetry_follows_an_uneven_stone():
    turn = np.linspace(0, 2 * np.pi, 181)[:-1]
    points = np.stack(
        [
            3.2 * np.cos(turn) * (1 + 0.02 * np.sin(3 * turn + 0.4)),
            4 * np.sin(turn) * (1 + 0.015 * np.cos(2 * turn + 1)),
        ],
        axis=1,
    )
    layout = sound(case({"cut": "outline", "points_mm": points.tolist()}))
    assert layout["symmetry"] == "C1"
    assert layout["figures"]["cost"] < 2.0


def test_without_symmetry_is_never_dearer_than_with_it():
    costs = [sound(case(HEART, symmetry=group))["figures"]["cost"] for group in ("D1", "C1")]
    assert costs[1] <= costs[0] + 1e-6


def test_equal_spacing_on_a_smooth_outline():
    layout = sound(case(OVAL, melee={"sizes_mm": [1.25]}, rules={"gap_max_mm": 0.15}))
    assert layout["figures"]["gap_worst_mm"] - layout["figures"]["gap_least_mm"] <= 0.002


def test_beads_are_given_for_every_gap():
    layout = sound(case(ROUND))
    assert len(layout["beads"]) == layout["figures"]["stones"]
