"""Rings of equal stones: counts, gaps and their limits."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.errors import BadInput
from gemcalc.ring_of_stones import even_gap_mm, gap_bead_diameters_mm, ring_of_stones

CENTRE = st.floats(2.0, 15.0)
MELEE = st.floats(0.7, 2.5)
CLEARANCE = st.floats(0.0, 0.5)
GAP = st.floats(0.0, 0.3)


@given(centre=CENTRE, melee=MELEE, clearance=CLEARANCE, gap=GAP)
def test_the_count_is_the_most_that_keeps_the_gap(
    centre: float, melee: float, clearance: float, gap: float
) -> None:
    ring = ring_of_stones(
        centre_diameter_mm=centre, melee_diameter_mm=melee, clearance_mm=clearance, gap_mm=gap
    )
    assert ring.count <= ring.exact + 1e-9 < ring.count + 1
    assert ring.even_gap_mm >= gap - 1e-7
    assert ring.next_count_gap_mm < gap + 1e-7
    assert ring.outside_diameter_mm == pytest.approx(centre + 2 * clearance + 2 * melee)


@given(centre=CENTRE, melee=MELEE, clearance=CLEARANCE, gap=GAP, by=st.floats(0.6, 1.6))
def test_a_ring_twice_as_large_holds_the_same_count(
    centre: float, melee: float, clearance: float, gap: float, by: float
) -> None:
    one = ring_of_stones(
        centre_diameter_mm=centre, melee_diameter_mm=melee, clearance_mm=clearance, gap_mm=gap
    )
    other = ring_of_stones(
        centre_diameter_mm=centre * by,
        melee_diameter_mm=melee * by,
        clearance_mm=clearance * by,
        gap_mm=gap * by,
    )
    assert other.exact == pytest.approx(one.exact, rel=1e-9)


@given(centre=CENTRE, melee=MELEE, clearance=CLEARANCE, gap=GAP, more=st.floats(0.01, 3))
def test_a_larger_centre_takes_more_stones(
    centre: float, melee: float, clearance: float, gap: float, more: float
) -> None:
    rest = {"melee_diameter_mm": melee, "clearance_mm": clearance, "gap_mm": gap}
    one = ring_of_stones(centre_diameter_mm=centre, **rest)
    assert ring_of_stones(centre_diameter_mm=centre + more, **rest).exact > one.exact


@given(centre=CENTRE, melee=MELEE, clearance=CLEARANCE, gap=GAP)
def test_dividing_the_arc_counts_too_many(centre: float, melee: float, clearance: float, gap: float) -> None:
    ring = ring_of_stones(
        centre_diameter_mm=centre, melee_diameter_mm=melee, clearance_mm=clearance, gap_mm=gap
    )
    assert math.pi * ring.centre_line_diameter_mm / (melee + gap) > ring.exact


def test_six_equal_circles_are_six_and_not_five() -> None:
    for size in (0.5, 1.0, 1.3, 7.77):
        ring = ring_of_stones(centre_diameter_mm=size, melee_diameter_mm=size, clearance_mm=0.0, gap_mm=0.0)
        assert ring.count == 6
        assert ring.even_gap_mm == pytest.approx(0.0, abs=1e-9)


@pytest.mark.parametrize(("melee", "gap"), [(60.0, 0.0), (8.0, 10.0), (0.3, 10.0)])
def test_fewer_than_three_stones_is_no_ring(melee: float, gap: float) -> None:
    with pytest.raises(BadInput) as refused:
        ring_of_stones(centre_diameter_mm=1.0, melee_diameter_mm=melee, clearance_mm=0.0, gap_mm=gap)
    assert refused.value.field == "melee_diameter_mm"


@given(count=st.integers(3, 200), melee=MELEE)
def test_a_steiner_ring_leaves_no_gap(count: int, melee: float) -> None:
    radius = melee / 2 / math.sin(math.pi / count)
    assert even_gap_mm(centre_line_radius_mm=radius, diameter_mm=melee, count=count) == pytest.approx(
        0, abs=1e-9
    )


@given(centre=CENTRE, melee=MELEE)
def test_gap_beads_touch_their_three_circles(centre: float, melee: float) -> None:
    """The bead lies on the bisector of two touching stones; its distances are its radius plus theirs."""
    inner, outer = gap_bead_diameters_mm(centre_diameter_mm=centre, melee_diameter_mm=melee)
    far = centre / 2 + melee / 2
    height = math.sqrt(far**2 - (melee / 2) ** 2)
    from_centre = centre / 2 + inner / 2
    assert math.hypot(height - from_centre, melee / 2) == pytest.approx(melee / 2 + inner / 2, abs=1e-9)
    from_outside = centre / 2 + melee - outer / 2
    assert math.hypot(from_outside - height, melee / 2) == pytest.approx(melee / 2 + outer / 2, abs=1e-9)
