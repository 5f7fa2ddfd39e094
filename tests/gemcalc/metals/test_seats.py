"""The setter's figures and the judgement of a plan."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from gemcalc.errors import BadInput, OutOfRange
from gemcalc.makeability import Plan, makeability
from gemcalc.seat_rows import CLAW_ROWS, SEAT_FIGURES
from gemcalc.seats import bead_size, claw_wire, seat_depth, tip_cover
from gemcalc.sources import SOURCES


@pytest.mark.parametrize("figure", SEAT_FIGURES.values(), ids=SEAT_FIGURES)
def test_figure_has_an_end_and_a_marked_source(figure: object) -> None:
    row = figure
    assert row.low is not None or row.high is not None  # type: ignore[attr-defined]
    if row.low is not None and row.high is not None:  # type: ignore[attr-defined]
        assert row.low <= row.high  # type: ignore[attr-defined]
    assert SOURCES[row.source].mark in ("seen", "practice")  # type: ignore[attr-defined]


@given(st.floats(2, 9), st.floats(0, 7))
def test_a_larger_stone_never_has_a_thinner_claw(stone: float, more: float) -> None:
    one, other = claw_wire(stone_mm=stone), claw_wire(stone_mm=min(9.0, stone + more))
    assert one.low <= other.low + 1e-12
    assert one.high <= other.high + 1e-12
    assert one.low < one.high


def test_claw_wire_at_the_ends_of_each_row_and_between() -> None:
    for row in CLAW_ROWS:
        for stone in (row.stone_low_mm, row.stone_high_mm):
            span = claw_wire(stone_mm=stone)
            assert (span.low, span.high) == (row.wire_low_mm, row.wire_high_mm)
    assert claw_wire(stone_mm=4.5).low == pytest.approx(0.8)
    for stone in (1.99, 9.01, float("nan")):
        with pytest.raises(OutOfRange):
            claw_wire(stone_mm=stone)


def test_edges_of_seat_tip_and_bead() -> None:
    assert seat_depth(claw_wire_mm=1.0, shared=True).high == 0.25
    assert tip_cover(diameter_mm=6.5, table_pct=57).high == pytest.approx(0.69875)
    for call in (
        lambda: seat_depth(claw_wire_mm=0.1),
        lambda: seat_depth(claw_wire_mm=5.1),
        lambda: tip_cover(diameter_mm=0.4),
        lambda: tip_cover(diameter_mm=6.5, table_pct=91),
        lambda: bead_size(stone_mm=0.79),
        lambda: bead_size(stone_mm=2.01),
    ):
        with pytest.raises(OutOfRange):
            call()


def verdicts(**plan: object) -> dict[str, str]:
    return {finding.check: finding.verdict for finding in makeability(plan=Plan(**plan))}  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("plan", "verdict"),
    [
        ({"wall_mm": 0.5}, "good"),
        ({"wall_mm": 0.49}, "stop"),
        ({"wall_mm": 0.7}, "good"),
        ({"wall_mm": 0.8}, "look"),
        ({"wall_mm": 0.35, "finishing_side_mm": 0.0}, "good"),
        ({"culet_clearance_mm": 0.5}, "good"),
        ({"culet_clearance_mm": 0.49}, "stop"),
        ({"stone_gap_mm": 0.10}, "good"),
        ({"stone_gap_mm": 0.04}, "stop"),
        ({"stone_gap_mm": -0.02}, "stop"),
        ({"stone_gap_mm": 0.2}, "look"),
        ({"halo_clearance_mm": 0.15}, "good"),
        ({"halo_clearance_mm": 0.05}, "look"),
        ({"halo_clearance_mm": -0.01}, "stop"),
        ({"claw_wire_mm": 1.15, "stone_mm": 6.5}, "good"),
        ({"claw_wire_mm": 0.8, "stone_mm": 6.5}, "stop"),
        ({"claw_wire_mm": 1.0, "stone_mm": 6.5}, "look"),
        ({"claw_wire_mm": 1.0}, "look"),
        ({"claw_wire_mm": 1.6, "stone_mm": 11.0}, "look"),
        ({"seat_cut_pct": 40}, "good"),
        ({"seat_cut_pct": 50}, "look"),
        ({"seat_cut_pct": 51}, "stop"),
        ({"seat_cut_pct": 25, "shared_claws": True}, "good"),
        ({"seat_cut_pct": 26, "shared_claws": True}, "stop"),
        ({"band_thickness_mm": 1.7}, "good"),
        ({"band_thickness_mm": 1.5}, "look"),
        ({"band_thickness_mm": 1.1}, "stop"),
        ({"band_width_mm": 2.0}, "good"),
        ({"band_width_mm": 1.3}, "stop"),
    ],
)
def test_one_planned_dimension(plan: dict[str, object], verdict: str) -> None:
    assert list(verdicts(**plan).values()) == [verdict]


@pytest.mark.parametrize(("width", "verdict"), [(2.5, "good"), (2.2, "look"), (1.6, "stop")])
def test_band_width_for_engraving(width: float, verdict: str) -> None:
    found = {
        finding.check: finding
        for finding in makeability(plan=Plan(band_width_mm=width, engraving_height_mm=1.5))
    }
    finding = next(finding for check, finding in found.items() if "letters 1.5 mm" in check)
    assert finding.verdict == verdict
    assert finding.figure == pytest.approx(width - 0.2)


def test_the_worst_comes_first_and_nothing_planned_finds_nothing() -> None:
    found = makeability(plan=Plan(stone_gap_mm=0.1, wall_mm=0.9, culet_clearance_mm=0.1))
    assert [finding.verdict for finding in found] == ["stop", "look", "good"]
    assert makeability(plan=Plan()) == []
    assert all(finding.source in SOURCES for finding in found)


@pytest.mark.parametrize(
    ("field", "value"),
    [("wall_mm", -0.1), ("stone_mm", float("nan")), ("stone_gap_mm", -11), ("band_width_mm", 101)],
)
def test_a_plan_that_is_no_number_is_refused(field: str, value: float) -> None:
    with pytest.raises(BadInput) as caught:
        makeability(plan=Plan(**{field: value}))  # type: ignore[arg-type]
    assert caught.value.field == field
