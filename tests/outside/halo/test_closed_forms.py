"""Halos whose every figure mathematics has known for long: rings, kissing circles, Descartes, Steiner."""

from __future__ import annotations

import math
from typing import Any

import pytest

from gemcalc.__main__ import answer
from tests.outside.halo.cases import case

TENTH_OF_A_MICROMETRE = 1e-4


def _gap(centre: float, melee: float, clearance: float, count: int) -> float:
    """Gap of *count* equal stones round a round, mm: 2 (R + g + r) sin(pi / n) - 2 r. Plane trigonometry."""
    return 2 * (centre / 2 + clearance + melee / 2) * math.sin(math.pi / count) - melee


@pytest.mark.parametrize("centre", [4.0, 5.0, 6.5, 7.3, 8.0, 10.0, 12.0])
@pytest.mark.parametrize("melee", [1.0, 1.3, 1.7])
def test_equal_stones_round_a_round(centre: float, melee: float) -> None:
    """
    The closed form s = 2 (R + g + r) sin(pi / n) - 2 r gives count, gap and places.

    Of the counts whose gap is allowed the highest symmetry goes first, then the gap nearest to the wanted.
    """
    low, high, wanted, clearance = 0.03, 0.16, 0.06, 0.1
    most = math.floor(math.pi / math.asin((melee + low) / 2 / (centre / 2 + clearance + melee / 2)))
    allowed = [n for n in range(3, most + 1) if low <= _gap(centre, melee, clearance, n) <= high]
    answered = answer(
        "halo",
        case({"cut": "round", "diameter_mm": centre}, sizes=[melee], gap_min_mm=low, gap_max_mm=high),
    )
    assert answered["feasible"] == bool(allowed)
    if not allowed:
        return
    folds = {"D4": 4, "D2": 2, "D1": 1}
    symmetry = next(name for name, fold in folds.items() if any(n % fold == 0 for n in allowed))
    fitting = [n for n in allowed if n % folds[symmetry] == 0]
    count = min(fitting, key=lambda n: n * (_gap(centre, melee, clearance, n) - wanted) ** 2)
    gap = _gap(centre, melee, clearance, count)
    figures = answered["figures"]
    assert (answered["symmetry"], figures["stones"]) == (symmetry, count)
    for name in ("gap_least_mm", "gap_mean_mm", "gap_worst_mm"):
        assert figures[name] == pytest.approx(gap, abs=TENTH_OF_A_MICROMETRE)
    for stone in answered["stones"]:
        away = math.hypot(stone["x_mm"], stone["y_mm"])
        assert away == pytest.approx(centre / 2 + clearance + melee / 2, abs=TENTH_OF_A_MICROMETRE)


def test_six_equal_circles_round_a_seventh() -> None:
    """Six circles of one size kiss each other and the one in the middle: no seventh, no room."""
    answered = answer(
        "halo",
        case(
            {"cut": "round", "diameter_mm": 2.0}, sizes=[2.0], clearance_mm=0.0, clearance_max_mm=0.0,
            gap_min_mm=0.0, gap_max_mm=0.001, gap_wanted_mm=0.0,
        ),
    )  # fmt: skip
    assert (answered["feasible"], answered["figures"]["stones"]) == (True, 6)
    assert answered["figures"]["gap_worst_mm"] == pytest.approx(0.0, abs=TENTH_OF_A_MICROMETRE)


def _kissing(count: int, centre: float) -> float:
    """Radius of *count* circles that kiss each other round a circle: r = R s / (1 - s), s = sin(pi / n)."""
    s = math.sin(math.pi / count)
    return centre * s / (1 - s)


def _fourth(a: float, b: float, c: float) -> float:
    """Curvature of the circle in the gap of three that kiss (Descartes): a + b + c + 2 sqrt(ab + bc + ca)."""
    return a + b + c + 2 * math.sqrt(a * b + b * c + c * a)


@pytest.mark.parametrize("count", [8, 12, 16, 20])
def test_the_bare_spot_between_kissing_circles_is_descartes(count: int) -> None:
    centre = 3.25
    r = _kissing(count, centre)
    kissing: dict[str, Any] = {
        "sizes": [2 * r], "clearance_mm": 0.0, "clearance_max_mm": 0.0,
        "gap_min_mm": 0.0, "gap_max_mm": 0.001, "gap_wanted_mm": 0.0,
    }  # fmt: skip
    inner = 1 / _fourth(1 / centre, 1 / r, 1 / r)
    alone = answer("halo", case({"cut": "round", "diameter_mm": 2 * centre}, **kissing))
    assert (alone["feasible"], alone["figures"]["stones"]) == (True, count)
    assert alone["figures"]["bare_radius_mm"] == pytest.approx(inner, abs=TENTH_OF_A_MICROMETRE)
    # The outer round encloses the stones, so its curvature counts as negative.
    outer = 1 / _fourth(-1 / (centre + 2 * r), 1 / r, 1 / r)
    held = case(
        {"cut": "round", "diameter_mm": 2 * centre},
        target={"cut": "round", "diameter_mm": 2 * (centre + 2 * r)},
        inside_target_max_mm=0.001, outside_target_max_mm=0.001, **kissing,
    )  # fmt: skip
    bounded = answer("halo", held)["figures"]["bare_radius_mm"]
    assert bounded == pytest.approx(max(inner, outer), abs=TENTH_OF_A_MICROMETRE)


def _inverted(x: float, y: float, r: float, pole: float) -> tuple[float, float, float]:
    """The circle (x, y, r) inverted in the unit circle about (0, pole): (x, y) measured from the pole."""
    dy = y - pole
    power = x * x + dy * dy - r * r
    return x / power, dy / power, abs(r / power)


@pytest.mark.parametrize("count", [10, 12, 14, 16])
def test_steiner_chain_is_recovered_stone_by_stone(count: int) -> None:
    """
    Inversion carries a ring of kissing circles to a graduated ring between two eccentric rounds, exactly.

    Jakob Steiner, Einige geometrische Betrachtungen, 1826: the chain closes.
    Its stones are put into the drawer, the two rounds into the case, and the halo must find each of them.
    """
    r = _kissing(count, 1.0)
    pole = 5.0
    ring = [
        ((1 + r) * math.sin(2 * math.pi * k / count), (1 + r) * math.cos(2 * math.pi * k / count))
        for k in range(count)
    ]
    cx, cy, inner = _inverted(0.0, 0.0, 1.0, pole)
    tx, ty, outer = _inverted(0.0, 0.0, 1 + 2 * r, pole)
    size = 2.5 / inner
    wanted = []
    for x, y in ring:
        sx, sy, radius = _inverted(x, y, r, pole)
        wanted.append(((sx - cx) * size, (sy - cy) * size, 2 * radius * size))
    turn = [2 * math.pi * k / 4000 for k in range(4000)]
    edge = [[(tx - cx + outer * math.cos(t)) * size, (ty - cy + outer * math.sin(t)) * size] for t in turn]
    sizes = sorted({round(diameter, 9) for _, _, diameter in wanted})
    answered = answer(
        "halo",
        case(
            {"cut": "round", "diameter_mm": 5.0}, target={"cut": "outline", "points_mm": edge}, sizes=sizes,
            clearance_mm=0.0, clearance_max_mm=0.001, gap_min_mm=0.0, gap_max_mm=0.001, gap_wanted_mm=0.0,
            inside_target_max_mm=0.001, outside_target_max_mm=0.001, size_step_max_mm=5.0, symmetry="D1",
        ),
    )  # fmt: skip
    assert answered["feasible"]
    assert len(answered["stones"]) == count
    for stone in answered["stones"]:
        off = min(
            max(abs(stone["x_mm"] - x), abs(stone["y_mm"] - y), abs(stone["diameter_mm"] - d))
            for x, y, d in wanted
        )
        assert off < TENTH_OF_A_MICROMETRE
