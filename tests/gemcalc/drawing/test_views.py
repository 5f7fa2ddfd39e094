"""What the views show: numbers, heights, sections, gaps."""

from __future__ import annotations

import math

import pytest

from gemcalc import drawing
from gemcalc.drawing import dimension
from gemcalc.drawing.scene import Circle, Item, Path, Scene, Text
from gemcalc.errors import BadInput, OutOfRange
from tests.gemcalc.check.layouts import OUTLINES, equal_halo


def _words(scene: Scene, kind: str | None = None) -> list[str]:
    return [i.text for i in scene.items if isinstance(i, Text) and kind in (None, i.kind)]


def _kinds(scene: Scene, kind: str) -> list[Item]:
    return [item for item in scene.items if item.kind == kind]


def test_stones_are_numbered_clockwise_from_north() -> None:
    """Four stones on a cross and one a hair west of north, which is still the first."""
    places = [(-3.0, 0.0), (0.0, -3.0), (3.0, 0.0), (-1e-9, 3.0)]
    stones = [{"x_mm": x, "y_mm": y, "diameter_mm": 1.0, "row": 1} for x, y in places]
    order = drawing.setting_order({"stones": stones})
    assert [(s["number"], round(s["bearing_deg"])) for s in order] == [(1, 0), (2, 90), (3, 180), (4, 270)]


def test_second_row_is_numbered_after_the_first() -> None:
    stones = [
        {"x_mm": 0.0, "y_mm": y, "diameter_mm": 1.0, "row": row} for y, row in ((5.0, 2), (3.0, 1), (-3.0, 1))
    ]
    order = drawing.setting_order({"stones": stones})
    assert [(s["row"], s["y_mm"]) for s in order] == [(1, 3.0), (1, -3.0), (2, 5.0)]


def test_setter_sees_numbers_and_sizes_and_a_client_does_not() -> None:
    case, layout = equal_halo(OUTLINES["oval"])
    count = len(layout["stones"])
    setter, client = (drawing.top_view(case, layout, variant=v) for v in ("setter", "client"))
    assert [str(n) for n in range(1, count + 1)] == _words(setter, "number")
    assert _words(client, "number") == []
    width, length = layout["figures"]["width_mm"], layout["figures"]["length_mm"]
    assert _words(client) == [f"{width:.2f}", f"{length:.2f}", "10 mm"]
    assert {f"{width:.2f}", f"{length:.2f}", "6.00", "8.00", "all gaps 0.060"} <= set(_words(setter))


def test_the_widest_gap_is_marked_where_it_is() -> None:
    case, layout = equal_halo(OUTLINES["round"])
    case["rules"]["gap_max_mm"] = 1.0
    stone, after = layout["stones"][3], layout["stones"][4]
    stone["diameter_mm"] -= 0.1
    scene = drawing.top_view(case, layout)
    marks = [item for item in _kinds(scene, "gap") if isinstance(item, Path)]
    assert len(marks) == 2
    middles = [((p.points[0][0] + p.points[1][0]) / 2, (p.points[0][1] + p.points[1][1]) / 2) for p in marks]
    halfway = ((stone["x_mm"] + after["x_mm"]) / 2, (stone["y_mm"] + after["y_mm"]) / 2)
    assert min(math.dist(halfway, middle) for middle in middles) < 0.05
    assert "gaps 0.060 to 0.110, widest marked" in _words(scene)


def test_an_empty_corner_is_shown() -> None:
    case, layout = equal_halo(OUTLINES["round"])
    case["target"] = {"cut": "princess", "length_mm": 9.4, "width_mm": 9.4}
    scene = drawing.top_view(case, layout)
    spots = [item for item in _kinds(scene, "bare") if isinstance(item, Circle)]
    # A circle in the corner of a square of half side 4.7 round a ring: it touches two sides and the stones.
    assert spots[0].r == pytest.approx(4.7 - abs(spots[0].x), abs=1e-4)
    assert abs(spots[0].x) == pytest.approx(abs(spots[0].y), abs=1e-3)


def test_claws_stand_where_they_are_asked_for() -> None:
    scene = drawing.top_view({"centre": OUTLINES["round"]}, None, claws=[0.0, 120.0, 240.0])
    claws = [item for item in _kinds(scene, "claw") if isinstance(item, Path)]
    tips = [claw.points[0] for claw in claws]
    assert [round(math.degrees(math.atan2(y, x))) % 360 for x, y, _ in tips] == [0, 120, 240]
    assert all(2.0 < math.hypot(x, y) < 3.25 for x, y, _ in tips)


def test_crown_girdle_and_pavilion_add_up() -> None:
    stone = drawing.StoneProfile(depth_mm=4.0, table_pct=60.0, crown_mm=1.0, girdle_mm=0.2)
    assert stone.parts(width_mm=6.5) == pytest.approx((1.0, 0.2, 2.8))
    scene = drawing.side_view({"centre": OUTLINES["round"]}, None, stone=stone)
    assert {"crown 1.00", "girdle 0.20", "pavilion 2.80", "4.00", "table 3.90"} <= set(_words(scene))


def test_a_crown_of_the_usual_angle() -> None:
    """Crown height = (1 - table) / 2 * width * tan 34.5°."""
    crown, _, _ = drawing.StoneProfile(depth_mm=4.0).parts(width_mm=6.5)
    assert crown == pytest.approx(0.43 / 2 * 6.5 * math.tan(math.radians(34.5)))


@pytest.mark.parametrize(
    ("stone", "error"),
    [
        (drawing.StoneProfile(depth_mm=2.0, crown_mm=1.5, girdle_mm=0.6), BadInput),
        (drawing.StoneProfile(depth_mm=0.0), OutOfRange),
        (drawing.StoneProfile(depth_mm=4.0, table_pct=120.0), OutOfRange),
    ],
)
def test_a_stone_that_cannot_be_is_refused(stone: drawing.StoneProfile, error: type[BadInput]) -> None:
    with pytest.raises(error):
        drawing.side_view({"centre": OUTLINES["round"]}, None, stone=stone)


def test_a_ring_that_cannot_be_is_refused() -> None:
    with pytest.raises(OutOfRange) as refused:
        drawing.section(shank=drawing.Shank(inside_diameter_mm=17.0, width_mm=0.1))
    assert refused.value.field == "width_mm"


def test_the_front_view_stands_on_the_finger() -> None:
    """Overall height is back + inside diameter + clearance + depth."""
    scene = drawing.ring_front(
        {"centre": OUTLINES["round"]},
        None,
        shank=drawing.Shank(inside_diameter_mm=17.2, thickness_mm=2.0, thickness_end_mm=1.5),
        stone=drawing.StoneProfile(depth_mm=4.0),
        setting=drawing.HeadProfile(culet_clearance_mm=0.8),
    )
    assert f"{1.5 + 17.2 + 0.8 + 4.0:.2f}" in _words(scene)
    assert "Ø 17.20" in _words(scene)


def test_a_tapered_shank_has_two_sections() -> None:
    shank = drawing.Shank(inside_diameter_mm=17.2, width_mm=2.4, width_end_mm=2.0)
    assert _words(drawing.section(shank=shank), "note") == ["top", "back"]
    assert _words(drawing.section(shank=drawing.Shank(inside_diameter_mm=17.2)), "note") == ["top"]


def test_gap_of_two_circles() -> None:
    """Concentric: the same all round. Shifted by e: from g - e to g + e, mean g + O(e²)."""
    girdle = {"cut": "round", "diameter_mm": 6.5}
    even = drawing.gap_figures(girdle=girdle, inner={"cut": "round", "diameter_mm": 6.7})
    assert (even.least_mm, even.greatest_mm, even.mean_mm) == pytest.approx((0.1, 0.1, 0.1), abs=1e-5)
    turn = [2 * math.pi * k / 2000 for k in range(2000)]
    shifted = {"cut": "outline", "points_mm": [[3.35 * math.cos(t) + 0.04, 3.35 * math.sin(t)] for t in turn]}
    found = drawing.gap_figures(girdle=girdle, inner=shifted, low_mm=0.08, high_mm=0.12)
    assert (found.least_mm, found.greatest_mm) == pytest.approx((0.06, 0.14), abs=2e-5)
    # g - e²/(4 R) is the mean distance to a shifted circle, second order in e.
    assert found.mean_mm == pytest.approx(0.1 - 0.04**2 / (4 * 3.35), abs=2e-5)
    assert min(found.greatest_at_deg, 360 - found.greatest_at_deg) < 1.0
    assert abs(found.least_at_deg - 180) < 1.0
    # cos t < -1/2 for a third of the turn.
    assert (found.close_share, found.wide_share) == pytest.approx((1 / 3, 1 / 3), abs=0.01)


def test_a_stone_too_large_shows_a_gap_below_nothing() -> None:
    figures = drawing.gap_figures(
        girdle={"cut": "round", "diameter_mm": 6.5}, inner={"cut": "round", "diameter_mm": 6.4}
    )
    assert figures.greatest_mm == pytest.approx(-0.05, abs=1e-5)
    assert figures.close_share == 1.0


def test_gap_overlay_marks_each_class_once_it_occurs() -> None:
    girdle = {"cut": "round", "diameter_mm": 6.5}
    inner = {"cut": "oval", "length_mm": 7.0, "width_mm": 6.55}
    scene = drawing.gap_overlay(girdle=girdle, inner=inner, low_mm=0.05, high_mm=0.15)
    # Round an oval: close twice, wide twice, right four times between them; and one box of each in the key.
    counted = {kind: len(_kinds(scene, kind)) for kind in ("gap-close", "gap-right", "gap-wide")}
    assert counted == {"gap-close": 3, "gap-right": 5, "gap-wide": 3}


def test_turning_shows_which_marks_are_in_the_open() -> None:
    marks = [
        {"r": 0.85, "angle_deg": 5.0, "size": 0.1, "severity": 1.0},
        {"r": 0.2, "angle_deg": 80.0, "size": 0.1, "severity": 1.0},
    ]
    claws = [{"angle_deg": 45.0, "half_width_deg": 10.0, "inner_r": 0.7}]
    scene = drawing.turn_view(marks=marks, claws=claws, rotation_deg=40.0, exposed=[1])
    assert (len(_kinds(scene, "mark")), len(_kinds(scene, "mark-hidden"))) == (3, 1)
    (hidden,) = _kinds(scene, "mark-hidden")
    (left, right) = (item for item in _kinds(scene, "girdle") if isinstance(item, Circle))
    assert isinstance(hidden, Circle)
    assert math.degrees(math.atan2(hidden.y - right.y, hidden.x - right.x)) == pytest.approx(45.0)
    assert left.x < right.x


def test_words_are_spread_as_little_as_can_be() -> None:
    assert dimension.spread([0.0, 0.1, 5.0], 1.0) == pytest.approx([-0.45, 0.55, 5.0])
    assert dimension.spread([0.0, 3.0], 1.0) == [0.0, 3.0]


OVAL = {"cut": "oval", "length_mm": 9.0, "width_mm": 6.0}
PLOTTED = [
    {"r": 0.9, "angle_deg": 0.0, "size": 0.04},
    {"r": 0.5, "angle_deg": 120.0, "size": 0.04},
]
TWO_CLAWS = [{"angle_deg": angle, "half_width_deg": 8.0, "inner_r": 0.8} for angle in (180.0, 300.0)]


def test_a_turn_is_drawn_in_the_stones_own_outline() -> None:
    scene = drawing.turn_view(marks=PLOTTED, claws=TWO_CLAWS, rotation_deg=180.0, exposed=[1], outline=OVAL)
    girdles = [item for item in scene.items if item.kind == "girdle"]
    # The greatest width is drawn as 8 mm and the shape kept.
    assert [(round(item.rx, 4), item.ry) for item in girdles] == [(2.6667, 4.0)] * 2
    # 0.9 of the way to the girdle to the right is 2.4; turned end for end it lies as far to the left.
    middles = [
        (item.x, girdles[place // 2].x) for place, item in enumerate(of_kind(scene, "mark", "mark-hidden"))
    ]
    assert [round(x - middle, 4) for x, middle in middles][::2] == [2.4, -2.4]


def test_the_setters_plan_numbers_claws_clockwise_and_shows_where_twelve_lies() -> None:
    scene = drawing.lie_view(outline=OVAL, marks=PLOTTED, claws=TWO_CLAWS, rotation_deg=180.0, exposed=[1])
    words = {item.text: item for item in scene.items if isinstance(item, Text)}
    assert {"1", "2", "12", "north of the ring"} <= set(words)
    # The plot's twelve points down, the ring's north stands above.
    assert words["12"].y < 0 < words["north of the ring"].y
    headings = {item.text: item for item in scene.items if isinstance(item, Text) and item.kind == "heading"}
    assert headings["1"].x > 0 > headings["2"].x, "300 degrees comes first, clockwise from north"
    assert "180.0 degrees" in scene.description


def of_kind(scene: Scene, *kinds: str) -> list[Item]:
    return [item for item in scene.items if item.kind in kinds]
