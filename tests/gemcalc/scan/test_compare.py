"""A model laid over a stone: gaps of known shapes, overlap, alignment, and distances worked out by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as some

from gemcalc.errors import BadInput
from gemcalc.scan.compare import gap_round

TURN = np.arange(1440) * 2 * np.pi / 1440
RING = np.column_stack((np.cos(TURN), np.sin(TURN)))
OVAL = RING * [3, 4]


def grown(points: np.ndarray, by: float) -> np.ndarray:
    """The parallel curve of an outline, by shapely."""
    return shapely.get_coordinates(shapely.Polygon(points).buffer(by, quad_segs=400).exterior)[:-1]


def moved(points: np.ndarray, turn_deg: float, shift: tuple[float, float]) -> np.ndarray:
    turn = np.radians(turn_deg)
    cos, sin = np.cos(turn), np.sin(turn)
    return points @ np.array([[cos, sin], [-sin, cos]]) + shift


def by_hand(point: list[float], opening: np.ndarray) -> float:
    """Distance to the nearest edge of a convex polygon, negative outside; plain arithmetic, edge by edge."""
    x, y = point
    least, inside = math.inf, True
    for (ax, ay), (bx, by) in zip(opening.tolist(), np.roll(opening, -1, axis=0).tolist(), strict=True):
        ex, ey = bx - ax, by - ay
        along = min(max(((x - ax) * ex + (y - ay) * ey) / (ex * ex + ey * ey), 0.0), 1.0)
        least = min(least, math.hypot(x - ax - along * ex, y - ay - along * ey))
        inside = inside and ex * (y - ay) - ey * (x - ax) > 0
    return least if inside else -least


def test_two_circles_apart_by_a_shift() -> None:
    gap = gap_round(girdle_mm=3 * RING, opening_mm=3.2 * RING + [0.05, 0], wanted_mm=0.2)
    assert gap.least_mm == pytest.approx(0.15, abs=1e-4)
    assert gap.greatest_mm == pytest.approx(0.25, abs=1e-4)
    assert abs((gap.least_at_deg - 180 + 180) % 360 - 180) < 1
    assert abs((gap.greatest_at_deg + 180) % 360 - 180) < 1
    assert gap.mean_mm == pytest.approx(0.2, abs=5e-4)
    assert gap.below_share == pytest.approx(0.5, abs=0.01)
    assert gap.overlap_share == 0


def test_overlap_is_negative() -> None:
    gap = gap_round(girdle_mm=3 * RING, opening_mm=3.0 * RING + [0.1, 0])
    assert gap.least_mm == pytest.approx(-0.1, abs=1e-3)
    assert gap.overlap_share == pytest.approx(0.5, abs=0.02)


def test_a_parallel_curve_has_an_even_gap() -> None:
    gap = gap_round(girdle_mm=OVAL, opening_mm=grown(OVAL, 0.1))
    assert (gap.least_mm, gap.greatest_mm) == pytest.approx((0.1, 0.1), abs=2e-5)


@given(turn=some.floats(-8, 8), shift=some.tuples(some.floats(-1, 1), some.floats(-1, 1)))
@settings(max_examples=15, deadline=None)
def test_alignment_undoes_a_turn_and_a_shift(turn: float, shift: tuple[float, float]) -> None:
    gap = gap_round(girdle_mm=moved(OVAL, turn, shift), opening_mm=grown(OVAL, 0.1), align=True)
    assert (gap.least_mm, gap.greatest_mm) == pytest.approx((0.1, 0.1), abs=2e-4)
    assert gap.turn_deg == pytest.approx(-turn, abs=0.02)


@given(
    radii=some.tuples(some.floats(2, 4), some.floats(2, 4)),
    shift=some.tuples(some.floats(-0.5, 0.5), some.floats(-0.5, 0.5)),
    corners=some.integers(4, 12),
)
@settings(max_examples=30, deadline=None)
def test_gaps_are_distances_worked_out_edge_by_edge(
    radii: tuple[float, float], shift: tuple[float, float], corners: int
) -> None:
    turn = np.arange(corners) * 2 * np.pi / corners
    opening = 3.3 * np.column_stack((np.cos(turn), np.sin(turn))) + shift
    gap = gap_round(girdle_mm=RING * radii, opening_mm=opening)
    signed = [by_hand(point, opening) for point in gap.girdle_mm.tolist()]
    assert gap.gap_mm == pytest.approx(signed, abs=1e-9)
    assert np.hypot(*(gap.foot_mm - gap.girdle_mm).T) == pytest.approx(np.abs(gap.gap_mm), abs=1e-9)
    assert (np.diff(gap.angle_deg) >= 0).all()


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"girdle_mm": [[0, 0], [1, 1]]}, "girdle_mm"),
        ({"girdle_mm": "no"}, "girdle_mm"),
        ({"girdle_mm": [[0, 0], [1, float("nan")], [2, 2]]}, "girdle_mm"),
        ({"opening_mm": RING * 200}, "opening_mm"),
        ({"opening_mm": np.zeros((5000, 2))}, "opening_mm"),
        ({"opening_mm": [[0, 0], [5, 5], [5, 0], [0, 5]]}, "opening_mm"),
        ({"wanted_mm": -1}, "wanted_mm"),
    ],
)
def test_errors_name_the_field(change: dict[str, object], field: str) -> None:
    with pytest.raises(BadInput) as refused:
        gap_round(**{"girdle_mm": OVAL, "opening_mm": OVAL, **change})  # type: ignore[arg-type]
    assert refused.value.field == field
