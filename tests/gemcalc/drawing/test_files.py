"""The files: DXF read back by its library, SVG true to scale, the same bytes for the same drawing."""

from __future__ import annotations

import io
import math
import re
import xml.etree.ElementTree as ET
from typing import Any

import ezdxf
import pytest
import shapely

from gemcalc import drawing
from gemcalc.drawing import shapes
from gemcalc.drawing.scene import Circle, Ellipse, Path, Scene, Text, arc_points, bounds
from gemcalc.drawing.style import KINDS, LAYERS
from gemcalc.halo.check import outlines
from tests.gemcalc.check.layouts import OUTLINES, bead, equal_halo

NS = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def halo() -> tuple[dict[str, Any], dict[str, Any]]:
    case, layout = equal_halo(OUTLINES["round"])
    case["target"] = {"cut": "cushion", "length_mm": 9.6, "width_mm": 9.6, "corner_radius_mm": 4.0}
    bead(layout)
    return case, layout


def _read(scene: Scene) -> Any:
    return ezdxf.read(io.StringIO(drawing.to_dxf(scene)))


def test_dxf_is_clean_and_every_circle_is_exact(halo: Any) -> None:
    case, layout = halo
    document = _read(drawing.top_view(case, layout))
    audit = document.audit()
    assert not audit.errors
    assert not audit.fixes
    assert (document.dxfversion, document.units) == ("AC1024", ezdxf.units.MM)
    found = [
        (e.dxf.center.x, e.dxf.center.y, e.dxf.radius)
        for e in document.modelspace().query('CIRCLE[layer=="STONES"]')
    ]
    for stone in layout["stones"]:
        assert (stone["x_mm"], stone["y_mm"], stone["diameter_mm"] / 2) in found
    centre = document.modelspace().query('CIRCLE[layer=="CENTRE"]')
    (girdle,) = [(e.dxf.center.x, e.dxf.center.y, e.dxf.radius) for e in centre]
    assert girdle == (0.0, 0.0, 3.25)


def test_dxf_layers_are_named_in_words(halo: Any) -> None:
    case, layout = halo
    document = _read(drawing.top_view(case, layout))
    named = {layer.dxf.name for layer in document.layers}
    assert set(LAYERS) <= named
    used = {entity.dxf.layer for entity in document.modelspace()}
    wanted = {
        "CENTRE", "TARGET", "STONES", "BEADS", "CLAWS", "DIMENSIONS", "TEXT", "ORIENTATION", "FACETS",
    }  # fmt: skip
    assert wanted <= used <= set(LAYERS)


@pytest.mark.parametrize("name", ["cushion", "straight cushion", "pear", "marquise", "heart", "emerald"])
def test_dxf_outline_has_true_arcs(name: str) -> None:
    """Read back, every vertex lies on the outline, and so does the middle of every arc."""
    document = _read(drawing.top_view({"centre": OUTLINES[name]}, None))
    (polyline,) = document.modelspace().query('LWPOLYLINE[layer=="CENTRE"]')
    assert polyline.closed
    signed = outlines.outline(OUTLINES[name]).signed
    vertices = [tuple(vertex) for vertex in polyline.get_points("xyb")]
    for start, end in zip(vertices, [*vertices[1:], vertices[0]], strict=True):
        for point in arc_points(start, end, steps=6):
            assert abs(float(signed(shapely.get_coordinates(shapely.Point(point)))[0])) < 1e-9


@pytest.mark.parametrize("name", sorted(OUTLINES))
def test_drawn_outline_encloses_the_same_area(name: str) -> None:
    item = shapes.outline_item(OUTLINES[name], "girdle")
    area = outlines.outline(OUTLINES[name]).polygon.area
    if isinstance(item, Circle):
        drawn = math.pi * item.r**2
    elif isinstance(item, Ellipse):
        drawn = math.pi * item.rx * item.ry
    else:
        assert isinstance(item, Path)
        after = [*item.points[1:], item.points[0]]
        points = [p for a, b in zip(item.points, after, strict=True) for p in arc_points(a, b, steps=720)]
        drawn = shapely.Polygon(points).area
    assert drawn == pytest.approx(area, abs=2e-3)


@pytest.mark.parametrize("scale", [1.0, 5.0])
def test_svg_is_true_to_scale(halo: Any, scale: float) -> None:
    """Width in mm over width of the viewBox is the scale, both ways, and the stones stand at their places."""
    case, layout = halo
    root = ET.fromstring(drawing.to_svg(drawing.top_view(case, layout), scale=scale))
    _, _, width, height = (float(value) for value in root.attrib["viewBox"].split())
    given = [float(root.attrib[name].removesuffix("mm")) for name in ("width", "height")]
    assert given == pytest.approx([scale * width, scale * height], abs=6e-4)
    drawn = [
        (float(c.attrib["cx"]), -float(c.attrib["cy"]), 2 * float(c.attrib["r"]))
        for c in root.iter(f"{NS}circle")
        if c.attrib["class"] == "melee"
    ]
    for stone in layout["stones"]:
        wanted = (stone["x_mm"], stone["y_mm"], stone["diameter_mm"])
        assert any(wanted == pytest.approx(circle, abs=1e-4) for circle in drawn)


def test_check_bar_is_ten_millimetres(halo: Any) -> None:
    case, layout = halo
    scene = drawing.top_view(case, layout)
    bars = [item for item in scene.items if item.kind in ("bar", "barless")]
    left, _, right, _ = bounds(bars)
    assert right - left == pytest.approx(10.0, abs=1e-12)


def test_svg_stands_alone_and_speaks(halo: Any) -> None:
    case, layout = halo
    root = ET.fromstring(drawing.to_svg(drawing.top_view(case, layout)))
    assert root.attrib["role"] == "img"
    assert root.find(f"{NS}title").text == "Round with a halo of 18 stones, from above"
    assert "Centre 6.50 by 6.50 mm" in root.find(f"{NS}desc").text
    for element in root.iter():
        assert "style" not in element.attrib
        if element.tag in (f"{NS}circle", f"{NS}path", f"{NS}text"):
            assert element.attrib["class"] in KINDS
            assert "fill" in element.attrib
        if element.tag == f"{NS}text":
            assert "Source Sans 3" in element.attrib["font-family"]


def test_words_from_outside_are_escaped() -> None:
    scene = drawing.top_view({"centre": OUTLINES["round"]}, None, title='<script>"&')
    root = ET.fromstring(drawing.to_svg(scene))
    assert root.attrib["aria-label"] == '<script>"&'


def test_same_drawing_same_bytes(halo: Any) -> None:
    case, layout = halo
    one, two = (drawing.top_view(case, layout) for _ in range(2))
    assert drawing.to_svg(one) == drawing.to_svg(two)
    assert drawing.to_dxf(one) == drawing.to_dxf(two)
    assert not re.search(r"20\d\d-\d\d-\d\dT(?!00:00:00)", drawing.to_dxf(one).replace("2000-01-01", ""))


def test_nothing_is_drawn_off_the_sheet(halo: Any) -> None:
    case, layout = halo
    stone = drawing.StoneProfile(depth_mm=4.0)
    shank = drawing.Shank(inside_diameter_mm=17.2, thickness_end_mm=1.4)
    for scene in (
        drawing.top_view(case, layout),
        drawing.top_view(case, layout, variant="client"),
        drawing.top_view(case, layout, variant="mini"),
        drawing.side_view(case, layout, stone=stone),
        drawing.ring_front(case, layout, stone=stone, shank=shank),
        drawing.section(shank=shank),
    ):
        left, bottom, right, top = bounds(scene.items)
        assert scene.box[0] < left < right < scene.box[2]
        assert scene.box[1] < bottom < top < scene.box[3]


@pytest.mark.parametrize("name", sorted(OUTLINES))
@pytest.mark.parametrize("variant", ["setter", "client"])
def test_no_two_words_overlap(name: str, variant: Any) -> None:
    case, layout = equal_halo(OUTLINES[name])
    scene = drawing.top_view(case, layout, variant=variant)
    boxes = [shapely.box(*bounds([item])) for item in scene.items if isinstance(item, Text)]
    pairs = [(a, b) for place, a in enumerate(boxes) for b in boxes[:place]]
    assert all(not a.intersects(b) for a, b in pairs)
