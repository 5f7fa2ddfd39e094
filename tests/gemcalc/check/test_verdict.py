"""The verdict: sound layouts pass, every kind of damage is caught."""

from __future__ import annotations

import copy
import math
import time
from collections.abc import Callable
from typing import Any

import pytest

from gemcalc.halo.check import verify
from tests.gemcalc.check.layouts import OUTLINES, bead, claimed, equal_halo, rules

TEN = [name for name in OUTLINES if name != "outline"]


@pytest.fixture(scope="module")
def halos() -> dict[str, tuple[dict[str, Any], dict[str, Any]]]:
    made = {name: equal_halo(OUTLINES[name]) for name in TEN}
    for _, layout in made.values():
        bead(layout)
    return made


def _slide(layout: dict[str, Any]) -> None:
    a, b = layout["stones"][0], layout["stones"][1]
    across, up = b["x_mm"] - a["x_mm"], b["y_mm"] - a["y_mm"]
    apart = math.hypot(across, up)
    a["x_mm"] += 0.002 * across / apart
    a["y_mm"] += 0.002 * up / apart


def _turn(layout: dict[str, Any]) -> None:
    cos, sin = math.cos(math.radians(0.1)), math.sin(math.radians(0.1))
    for thing in (*layout["stones"], *layout["beads"]):
        x, y = thing["x_mm"], thing["y_mm"]
        thing["x_mm"], thing["y_mm"] = cos * x - sin * y, sin * x + cos * y


def _scale(layout: dict[str, Any]) -> None:
    for thing in layout["stones"]:
        thing["x_mm"], thing["y_mm"] = 1.001 * thing["x_mm"], 1.001 * thing["y_mm"]


def _outward(layout: dict[str, Any]) -> None:
    stone = layout["stones"][3]
    away = math.hypot(stone["x_mm"], stone["y_mm"])
    stone["x_mm"] *= 1 + 0.002 / away
    stone["y_mm"] *= 1 + 0.002 / away


def _set(*path: str | int, value: Any) -> Callable[[dict[str, Any]], None]:
    def damage(layout: dict[str, Any]) -> None:
        place: Any = layout
        for step in path[:-1]:
            place = place[step]
        place[path[-1]] = value(place[path[-1]]) if callable(value) else value

    return damage


DAMAGE: dict[str, Callable[[dict[str, Any]], None]] = {
    "slid 2 µm along": _slide,
    "moved 2 µm outward": _outward,
    "dropped": lambda layout: layout["stones"].pop(5) and None,
    "doubled": lambda layout: layout["stones"].append(dict(layout["stones"][5])),
    "turned 0.1°": _turn,
    "scaled 0.1 %": _scale,
    "one diameter 2 µm greater": _set("stones", 4, "diameter_mm", value=lambda d: d + 0.002),
    "carat off 1 %": _set("figures", "weight_ct", value=lambda w: 1.01 * w),
    "greatest gap off 1 µm": _set("figures", "gap_worst_mm", value=lambda g: g - 0.001),
    "bare spot off 2 µm": _set("figures", "bare_radius_mm", value=lambda r: r - 0.002),
    "a count off by one": _set("figures", "counts", value=lambda c: {k: n + 1 for k, n in c.items()}),
    "a rule admitted that holds": _set("broken", value=["R05"]),
    "bead 2 µm off": _set("beads", 0, "x_mm", value=lambda x: x + 0.002),
    "a place that is no number": _set("stones", 2, "x_mm", value=math.nan),
}


@pytest.mark.parametrize("name", TEN)
def test_no_false_alarm(name: str, halos: dict[str, Any]) -> None:
    case, layout = halos[name]
    verdict = verify(case=case, layout=layout)
    assert (verdict.broken, verdict.untrue, verdict.sound) == ((), (), True)


@pytest.mark.parametrize("name", TEN)
@pytest.mark.parametrize("kind", DAMAGE)
def test_damage_is_caught(kind: str, name: str, halos: dict[str, Any]) -> None:
    case, layout = halos[name]
    hurt = copy.deepcopy(layout)
    DAMAGE[kind](hurt)
    verdict = verify(case=case, layout=hurt)
    assert not verdict.sound
    assert verdict.broken or verdict.untrue


def _rule(rule: str) -> tuple[dict[str, Any], dict[str, Any]]:
    case, layout = equal_halo(OUTLINES["round"])
    if rule == "R02":
        case["melee"]["sizes_mm"] = [1.30]
    elif rule == "R03":
        case["melee"]["stock"] = {f"{layout['stones'][0]['diameter_mm']:.4f}": len(layout["stones"]) - 1}
    elif rule == "R05":
        case["rules"]["gap_min_mm"] = 0.061
    elif rule == "R06":
        case["rules"]["clearance_mm"] = 0.101
    elif rule == "R07":
        case["rules"]["gap_max_mm"] = 0.059
    elif rule == "R08":
        case["target"] = {"cut": "round", "diameter_mm": 12.0}
    elif rule == "R10":
        layout["symmetry"] = "D4"
    elif rule == "R13":
        case["rules"]["bare_radius_max_mm"] = 0.19
    elif rule == "R14":
        case["rules"]["stone_on_deg"] = [0.0]
    return case, layout


@pytest.mark.parametrize("rule", ["R02", "R03", "R05", "R06", "R07", "R08", "R10", "R13", "R14"])
def test_each_limit_is_read_from_the_case(rule: str) -> None:
    """A layout that was sound breaks the one rule whose limit is moved past it, and no other."""
    case, layout = _rule(rule)
    assert (rule,) == verify(case=case, layout=layout).broken


def test_overlap_and_step() -> None:
    case, layout = equal_halo(OUTLINES["round"], gap=-0.01)
    assert verify(case=case, layout=layout).broken == ("R04", "R05")
    layout["stones"][3]["diameter_mm"] -= 0.4
    assert "R09" in verify(case=case, layout=layout).broken


def test_a_row_that_does_not_go_round_is_not_closed() -> None:
    case, layout = equal_halo(OUTLINES["round"])
    for stone in layout["stones"]:
        stone["x_mm"] += 20.0
    assert "R07" in verify(case=case, layout=layout).broken


def _two_rows() -> tuple[dict[str, Any], dict[str, Any]]:
    """Two rings of 20 stones, the outer in the notches of the inner."""
    count, small, large = 20, 1.10, 1.30
    first = (small + 0.06) / 2 / math.sin(math.pi / count)
    second = first + 1.05
    stones = [
        {
            "x_mm": reach * math.sin(2 * math.pi * (k + shift) / count),
            "y_mm": reach * math.cos(2 * math.pi * (k + shift) / count),
            "diameter_mm": size,
            "row": row,
        }
        for row, reach, shift, size in ((1, first, 0.0, small), (2, second, 0.5, large))
        for k in range(count)
    ]
    gap = 2 * second * math.sin(math.pi / count) - large
    inner = (
        math.sqrt(first**2 + second**2 - 2 * first * second * math.cos(math.pi / count)) - (small + large) / 2
    )
    clearance = first - small / 2 - 3.0
    case = {
        "centre": {"cut": "round", "diameter_mm": 6.0},
        "target": None,
        "melee": {"sizes_mm": [small, large], "stock": None},
        "rules": rules(
            clearance_mm=clearance, clearance_max_mm=clearance,
            gap_min_mm=min(0.06, gap), gap_max_mm=max(0.06, gap),
            row_gap_min_mm=inner, row_gap_max_mm=inner,
        ),
        "symmetry": "D1",
        "rows": 2,
    }  # fmt: skip
    return case, claimed(case, stones, symmetry="D1")


def test_two_rows_keep_their_distance() -> None:
    case, layout = _two_rows()
    assert verify(case=case, layout=layout).sound
    case["rules"]["row_gap_min_mm"] += 0.001
    case["rules"]["row_gap_max_mm"] += 0.001
    assert verify(case=case, layout=layout).broken == ("R11",)


def test_a_bead_on_the_centre_or_between_strangers() -> None:
    case, layout = equal_halo(OUTLINES["round"])
    layout["beads"].append({"x_mm": 0.0, "y_mm": 0.0, "radius_mm": 0.1})
    assert verify(case=case, layout=layout).broken == ("R12",)


def test_the_order_of_the_list_changes_nothing() -> None:
    case, layout = equal_halo(OUTLINES["heart"])
    layout["stones"].reverse()
    layout["stones"].insert(0, layout["stones"].pop(7))
    assert verify(case=case, layout=layout).sound


def test_the_bare_spot_of_a_ring_is_the_circle_of_apollonius() -> None:
    """Round centre, stones 2 pi / n apart: one equation in the radius of the circle that touches three."""
    _, layout = equal_halo(OUTLINES["round"])
    stone, count = layout["stones"][0], len(layout["stones"])
    centre, r = 3.25, stone["diameter_mm"] / 2
    reach = math.hypot(stone["x_mm"], stone["y_mm"])
    low, high = 0.0, r
    for _ in range(60):
        filler = (low + high) / 2
        out = centre + filler
        away = math.sqrt(out**2 + reach**2 - 2 * out * reach * math.cos(math.pi / count))
        low, high = (filler, high) if away > r + filler else (low, filler)
    assert low == pytest.approx(layout["figures"]["bare_radius_mm"], abs=1e-7 + 5e-5)


def test_it_is_fast_enough_to_stand_before_every_drawing(halos: dict[str, Any]) -> None:
    """Under 0.2 s of processor time each, outlines already known: what else runs must not decide."""
    for case, layout in halos.values():
        verify(case=case, layout=layout)
        times = []
        for _ in range(2):
            before = time.process_time()
            verify(case=case, layout=layout)
            times.append(time.process_time() - before)
        assert min(times) < 0.2
