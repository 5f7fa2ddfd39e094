"""Ring sizes: what people type, round trips, and what is said beside a size."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.errors import BadInput
from gemcalc.rings import (
    SYSTEMS,
    circumference_mm,
    iso_label,
    jp_label,
    resizing_note,
    ring_of_circumference,
    ring_of_diameter,
    ring_of_size,
    steps_of,
    steps_typed,
    uk_chart_circumference_mm,
    uk_label,
    us_label,
    us_spread_mm,
)

AROUND = st.floats(30, 90)
SYSTEM = st.sampled_from([row.system for row in SYSTEMS])


@pytest.mark.parametrize(
    ("system", "typed", "steps"),
    [
        ("us", "6 1/2", 6.5),
        ("us", "6.5", 6.5),
        ("us", "6,5", 6.5),
        ("us", "6½", 6.5),
        ("us", "6-1/2", 6.5),
        ("us", "6 1⁄2", 6.5),
        ("us", " US 6 3/4 ", 6.75),
        ("us", "size 7", 7),
        ("us", "1/2", 0.5),
        ("us", "½", 0.5),
        ("us", "-1", -1),
        ("us", "7¼", 7.25),
        ("uk", "M½", 12.5),
        ("uk", "m 1/2", 12.5),
        ("uk", "M1/2", 12.5),
        ("uk", "N", 13),
        ("uk", "Z", 25),
        ("uk", "Z+1", 26),
        ("uk", "z + 1 ½", 26.5),
        ("uk", "UK R¼", 17.25),
        ("iso", "52,5", 52.5),
        ("iso", "ISO 8653-54", 54),
        ("iso", "54 mm", 54),
        ("iso", "ISO 54", 54),
        ("jp", "#13", 13),
        ("jp", "13号", 13),
        ("jp", "JCS 13", 13),
        ("ch", "14", 14),
        ("ch", "No. 14", 14),
    ],
)
def test_what_people_type(system: str, typed: str, steps: float) -> None:
    assert steps_typed(system=system, size=typed) == steps


@pytest.mark.parametrize(
    ("system", "typed"),
    [
        ("us", ""),
        ("us", "   "),
        ("us", "M"),
        ("us", "six"),
        ("us", "6.5.5"),
        ("us", "61/2"),
        ("us", "6 1/3"),
        ("us", "6½½"),
        ("us", "nan"),
        ("us", "1e3"),
        ("us", "٦"),
        ("us", "6" * 50),
        ("uk", "6"),
        ("uk", "MM"),
        ("uk", "M+1"),
        ("uk", "Ä"),
        ("uk", "½"),
        ("iso", "54–56"),
        ("jp", "1\u0000"),
    ],
)
def test_what_cannot_be_a_size_is_refused_at_the_size(system: str, typed: str) -> None:
    with pytest.raises(BadInput) as refused:
        steps_typed(system=system, size=typed)
    assert refused.value.field == "size"


def test_an_unknown_system_is_refused_at_the_system() -> None:
    with pytest.raises(BadInput) as refused:
        ring_of_size(system="fr", size="54")
    assert refused.value.field == "system"


@given(system=SYSTEM, around=AROUND)
def test_from_mm_to_a_system_and_back(system: str, around: float) -> None:
    back = circumference_mm(
        system=system, steps=min(max(steps_of(system=system, circumference_mm=around), -99), 99)
    )
    assert back == pytest.approx(around, abs=1e-9)


@given(system=SYSTEM, around=AROUND, more=st.floats(0.001, 5))
def test_a_wider_ring_has_a_larger_size(system: str, around: float, more: float) -> None:
    wider = min(around + more, 90.0)
    if wider > around:
        assert steps_of(system=system, circumference_mm=wider) > steps_of(
            system=system, circumference_mm=around
        )


@given(around=AROUND)
def test_every_label_reads_back_to_within_half_of_its_step(around: float) -> None:
    ring = ring_of_circumference(circumference_mm=around)
    for system, label, step in (
        ("us", ring.us_label, 0.25),
        ("uk", ring.uk_label, 0.5),
        ("jp", ring.jp_label, 1.0),
        ("ch", ring.ch_label, 0.25),
        ("iso", ring.iso, 1.0),
    ):
        if label.startswith("below"):
            continue
        exact = steps_of(system=system, circumference_mm=around)
        assert abs(steps_typed(system=system, size=label) - exact) <= step / 2 + 1e-6


@given(around=AROUND)
def test_numbers_and_diameter_belong_to_one_ring(around: float) -> None:
    ring = ring_of_circumference(circumference_mm=around)
    assert ring.diameter_mm == pytest.approx(around / math.pi)
    assert ring.us == pytest.approx((ring.diameter_mm - 11.6332) / 0.8128)
    assert ring.uk_steps == pytest.approx((around - 37.5) / 1.25)
    assert ring.jp == pytest.approx(3 * ring.diameter_mm - 38)
    assert ring.ch == pytest.approx(around - 40)


@pytest.mark.parametrize("quarter", range(80))
def test_every_us_quarter_reads_and_writes_itself(quarter: int) -> None:
    ring = ring_of_size(system="us", size=f"{quarter / 4:.2f}")
    assert steps_typed(system="us", size=ring.us_label) == quarter / 4


def test_halves_go_up_and_small_rings_say_so() -> None:
    assert iso_label(circumference_mm=53.5) == "ISO 8653-54"
    assert us_label(circumference_mm=30) == "below 0"
    assert uk_label(circumference_mm=30) == "below A"
    assert jp_label(circumference_mm=30) == "below 1"
    assert uk_label(circumference_mm=37.5) == "A"


def test_a_diameter_and_its_circumference_give_the_same_ring() -> None:
    assert ring_of_diameter(diameter_mm=17.32) == ring_of_circumference(circumference_mm=17.32 * math.pi)


def test_the_disagreement_of_charts_is_stated() -> None:
    """Printed diameters of US 7 lie a tenth of a millimetre apart; UK letters up to 0.6 mm off."""
    assert us_spread_mm(steps=7) == pytest.approx(0.10, abs=0.006)
    notes = " ".join(ring_of_size(system="us", size="7").notes)
    assert "0.09 mm apart" in notes
    assert "0.12 mm" in notes
    assert "BS 6820" in notes
    for steps in range(9):
        standard = circumference_mm(system="uk", steps=steps)
        assert 0.3 <= uk_chart_circumference_mm(steps=steps) - standard <= 0.56


def test_a_wide_band_is_told_to_feel_tighter() -> None:
    wide = ring_of_size(system="iso", size="54", band_width_mm=7.0).notes
    narrow = ring_of_size(system="iso", size="54", band_width_mm=3.0).notes
    assert any("7 mm wide feels tighter" in note for note in wide)
    assert not any("tighter" in note for note in narrow)


def test_a_ring_off_the_standard_stick_says_so() -> None:
    assert any("stick" in note for note in ring_of_circumference(circumference_mm=40.9).notes)
    assert not any("stick" in note for note in ring_of_circumference(circumference_mm=41).notes)
    assert any("stick" in note for note in ring_of_circumference(circumference_mm=76.1).notes)


@pytest.mark.parametrize(
    ("stones_over", "said"),
    [("none", "plain"), ("third", "1 to 2"), ("half", "half a size"), ("full", "new ring")],
)
def test_resizing_is_told_by_how_far_the_stones_go_round(stones_over: str, said: str) -> None:
    assert said in resizing_note(stones_over=stones_over)
