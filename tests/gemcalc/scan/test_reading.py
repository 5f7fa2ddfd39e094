"""Files of scans: tables, DXF and SVG, their units, and files that mean harm."""

from __future__ import annotations

import io
import math
from collections.abc import Callable
from typing import Any

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from gemcalc.errors import BadInput
from gemcalc.scan.fit import fit_girdle
from gemcalc.scan.reading import Reading, read_outline

TURN = np.arange(200) * 2 * np.pi / 200
OVAL = np.column_stack((3 * np.cos(TURN), 4 * np.sin(TURN)))


def rows(points: np.ndarray, *, separator: str = ",", header: str = "", comma: bool = False) -> bytes:
    lines = [separator.join(f"{value:.5f}" for value in point) for point in points]
    text = "\n".join(lines)
    return (header + (text.replace(".", ",") if comma else text)).encode()


def drawing(draw: Callable[[Any], object], *, units: int = 4) -> bytes:
    document = ezdxf.new("R2010", units=units)
    draw(document.modelspace())
    text = io.StringIO()
    document.write(text)
    return text.getvalue().encode()


def picture(inside: str, attributes: str = 'width="20mm" height="20mm" viewBox="0 0 200 200"') -> bytes:
    return f'<svg xmlns="http://www.w3.org/2000/svg" {attributes}>{inside}</svg>'.encode()


def sizes(reading: Reading, cut: str | None = None) -> tuple[float, float]:
    girdle = fit_girdle(points_mm=reading.points_mm, cut=cut)
    return girdle.figures.length_mm, girdle.figures.width_mm


@pytest.mark.parametrize(
    "content",
    [
        rows(OVAL),
        rows(OVAL, header="x,y\n"),
        rows(OVAL, header="# scanner 3\nX (mm),Y (mm)\n"),
        rows(OVAL, separator=";", comma=True),
        rows(OVAL, separator="; ", header="x;y\n"),
        rows(OVAL, separator="\t", comma=True),
        rows(OVAL, separator="  "),
        rows(OVAL, separator=" ", comma=True),
        rows(OVAL, separator=" | "),
        "\ufeff".encode() + rows(OVAL),
        rows(OVAL).decode().encode("utf-16"),
        rows(OVAL).replace(b"\n", b"\r\n"),
        rows(np.column_stack((OVAL, np.full(200, 1.7)))),
        rows(np.column_stack((np.arange(200), OVAL)), header="n,x,y\n"),
    ],
)
def test_tables_of_every_common_kind(content: bytes) -> None:
    reading = read_outline(content=content, name="Stone.CSV")
    assert reading.points_mm == pytest.approx(OVAL, abs=1e-5)
    assert (reading.unit, reading.sure) == ("mm", True)


@pytest.mark.parametrize(("scale", "unit"), [(1, "mm"), (1 / 25.4, "inch"), (1000, "µm")])
def test_the_unit_is_guessed_from_the_size_and_shown(scale: float, unit: str) -> None:
    reading = read_outline(content=rows(OVAL * scale), name="a.txt")
    assert (reading.unit, reading.how, reading.sure) == (unit, "size", True)
    assert sizes(reading) == pytest.approx((8, 6), abs=0.01)
    assert reading.choices[unit] == pytest.approx((8, 6), rel=0.01)


def test_a_size_no_stone_has_is_asked_about() -> None:
    reading = read_outline(content=rows(OVAL * 10), name="a.csv")
    assert not reading.sure
    assert set(reading.choices) == {"mm", "inch", "µm"}


def test_the_users_unit_wins() -> None:
    reading = read_outline(content=rows(OVAL, header="x mm,y mm\n"), name="a.csv", unit="inch")
    assert (reading.how, reading.unit) == ("given", "inch")
    assert reading.points_mm.max() == pytest.approx(4 * 25.4)


def test_a_header_names_the_unit() -> None:
    reading = read_outline(content=rows(OVAL / 25.4, header="x [in];y [in]\n", separator=";"), name="a.csv")
    assert (reading.how, reading.unit) == ("file", "inch")


def test_a_known_weight_settles_pixels() -> None:
    circle = '<circle cx="100" cy="100" r="12.3"/>'
    unsure = read_outline(content=picture(circle, ""), name="a.svg")
    assert not unsure.sure
    known = read_outline(content=picture(circle, ""), name="a.svg", weight_ct=1.0)
    assert (known.unit, known.how, known.sure) == ("px", "weight", True)
    assert sizes(known) == pytest.approx((6.508, 6.508), abs=0.002)


def arcs(space: Any) -> None:
    # Two half circles: a bulge of 1 is the tangent of a quarter of 180°.
    space.add_lwpolyline([(-3, 0, 0, 0, 1), (3, 0, 0, 0, 1)], close=True)


def pieces(space: Any) -> None:
    space.add_arc((0, 0), 3, 0, 90)
    space.add_arc((0, 0), 3, 180, 270)
    space.add_arc((0, 0), 3, 90, 180)
    space.add_arc((0, 0), 3, 270, 360)


def loops(space: Any) -> None:
    space.add_circle((0, 0), 3)
    space.add_circle((0, 0), 1)
    space.add_circle((9, 9), 0.2)


@pytest.mark.parametrize("draw", [arcs, pieces, loops, lambda space: space.add_circle((5, 7), 3)])
def test_dxf_arcs_circles_and_loops(draw: Callable[[Any], object]) -> None:
    reading = read_outline(content=drawing(draw), name="a.dxf")
    assert (reading.how, reading.unit) == ("file", "mm")
    assert sizes(reading) == pytest.approx((6, 6), abs=0.0005)


def test_a_bulge_of_a_third_is_the_arc_it_stands_for() -> None:
    """Two arcs of bulge b over a chord c have radius c (1 + b²) / 4 b and height c b / 2: a marquise."""
    chord, bulge = 10.0, 0.5

    def draw(space: Any) -> None:
        space.add_lwpolyline([(0, -5, 0, 0, bulge), (0, 5, 0, 0, bulge)], close=True)

    girdle = fit_girdle(points_mm=read_outline(content=drawing(draw), name="a.dxf").points_mm)
    assert girdle.family == "marquise"
    assert girdle.figures.length_mm == pytest.approx(chord, abs=0.001)
    assert girdle.figures.width_mm == pytest.approx(chord * bulge, abs=0.001)


@pytest.mark.parametrize(("code", "scale"), [(4, 1.0), (1, 25.4), (13, 0.001), (5, 10.0)])
def test_dxf_units_are_taken_from_its_header(code: int, scale: float) -> None:
    reading = read_outline(
        content=drawing(lambda space: space.add_circle((0, 0), 3.25 / scale), units=code), name="a.dxf"
    )
    assert reading.how == "file"
    assert sizes(reading) == pytest.approx((6.5, 6.5), abs=0.001)


def test_a_dxf_without_units_is_guessed() -> None:
    reading = read_outline(
        content=drawing(lambda space: space.add_circle((0, 0), 3.25), units=0), name="a.dxf"
    )
    assert (reading.how, reading.unit, reading.sure) == ("size", "mm", True)


def test_a_scanned_polyline_keeps_its_noise() -> None:
    rng = np.random.default_rng(1)
    noisy = OVAL + rng.normal(0, 0.02, OVAL.shape)
    reading = read_outline(
        content=drawing(lambda space: space.add_lwpolyline(noisy.tolist(), close=True)), name="a.dxf"
    )
    assert fit_girdle(points_mm=reading.points_mm).noise_mm == pytest.approx(0.02, rel=0.2)


def test_dxf_points_in_any_order() -> None:
    def draw(space: Any) -> None:
        for x, y in np.random.default_rng(2).permutation(OVAL):
            space.add_point((x, y))

    assert sizes(read_outline(content=drawing(draw), name="a.dxf")) == pytest.approx((8, 6), abs=0.001)


def test_a_rectangle_of_four_corners_is_a_princess() -> None:
    content = drawing(lambda space: space.add_lwpolyline([(0, 0), (5.5, 0), (5.5, 6), (0, 6)], close=True))
    girdle = fit_girdle(points_mm=read_outline(content=content, name="a.dxf").points_mm)
    assert girdle.family == "princess"
    assert (girdle.figures.length_mm, girdle.figures.width_mm) == pytest.approx((6, 5.5), abs=0.001)


@pytest.mark.parametrize(
    "inside",
    [
        '<circle cx="100" cy="100" r="32.5"/>',
        '<path d="M 67.5 100 a 32.5 32.5 0 0 1 65 0 a 32.5 32.5 0 0 1 -65 0 z"/>',
        '<g transform="translate(20 30) scale(0.5)"><ellipse cx="10" cy="20" rx="65" ry="65"/></g>',
        '<circle cx="100" cy="100" r="32.5"/><rect x="1" y="1" width="5" height="5"/>',
    ],
)
def test_svg_shapes_in_millimetres(inside: str) -> None:
    reading = read_outline(content=picture(inside), name="a.svg")
    assert (reading.how, reading.unit, reading.sure) == ("file", "mm", True)
    assert sizes(reading) == pytest.approx((6.5, 6.5), abs=0.002)


def test_svg_is_not_mirrored() -> None:
    """A pear with its tip to the left in the picture has its tip to the left in the scan."""
    reach = 6 - 2.5
    radius = (2.5**2 + reach**2) / 5
    side = f"A {10 * radius} {10 * radius} 0 0 0"
    scaled = f"M 40 25 {side} {40 - 10 * reach} 50 {side} 40 75 A 25 25 0 0 0 40 25 z"
    girdle = fit_girdle(
        points_mm=read_outline(content=picture(f'<path d="{scaled}"/>'), name="a.svg").points_mm
    )
    assert girdle.family == "pear"
    assert girdle.angle_deg == pytest.approx(90, abs=0.01)


@pytest.mark.parametrize(
    ("attributes", "millimetres"),
    [
        ('width="2cm" viewBox="0 0 200 200"', 6.5),
        ('width="2in" height="2in" viewBox="0 0 508 508"', 6.5),
        ('width="30mm" height="30mm"', 65 * 25.4 / 96),
    ],
)
def test_svg_lengths_follow_its_own_header(attributes: str, millimetres: float) -> None:
    reading = read_outline(content=picture('<circle cx="50" cy="50" r="32.5"/>', attributes), name="a.svg")
    assert reading.how == "file"
    assert sizes(reading)[0] == pytest.approx(millimetres, abs=0.003)


BOMB = (
    '<!DOCTYPE svg [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    '<!ENTITY c "&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;">]>'
)
OUTSIDE = '<!DOCTYPE svg [<!ENTITY x SYSTEM "file:///etc/hostname">]>'


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        ("a.svg", BOMB.encode() + picture("<text>&c;</text>"), "no document type or entities"),
        ("a.svg", OUTSIDE.encode() + picture("<text>&x;</text>"), "no document type or entities"),
        ("a.svg", b"<svg><path", "plain SVG"),
        ("a.svg", picture('<path id="p" d="M0 0"/>' + '<use href="#p"/>' * 10), "by reference"),
        ("a.svg", picture("<g>" * 100 + "</g>" * 100), "too many elements"),
        ("a.svg", picture('<circle r="1"/>' * 5_001), "too many elements"),
        ("a.svg", picture('<path d="M0 0 ' + "a1 1 0 0 1 1 1 " * 6000 + '"/>'), "too many curves"),
        ("a.svg", picture('<path d="M nan 0 L inf 2 3 4"/>'), "path that cannot be read|no outline"),
        ("a.svg", picture("<text>no outline</text>"), "no outline"),
        ("a.svg", picture("") + b" " * 2_000_001, "larger than 2 MB"),
        ("a.svg", b"<html></html>", "not an SVG"),
        ("a.csv", b"x" * 5_000_001, "larger than 5 MB"),
        ("a.csv", b"   \n", "empty"),
        ("a.csv", b"x,y\n" + b"1,2\n" * 100_001, "at most 100,000"),
        ("a.csv", b"hello\nworld\n", "no two columns"),
        ("a.csv", b"\x00\x01\x02\x03", "not text"),
        ("a.csv", b"1,2\n" + b"nan,inf\n" * 50 + b"1,2\n" * 50, "not numbers, the first of them row 2"),
        ("a.csv", b"1," * 3000, "longer than 2000"),
        ("a.csv", b"1e300,2\n2,3\n", "too far away"),
        ("a.csv", b"1,2\n" * 50, "all its points in one place"),
        ("a.dxf", b"AutoCAD Binary DXF\r\n\x1a\x00rest", "binary DXF"),
        ("a.dxf", b"0\nSECTION\n2\nENTITIES\n0\nLINE\nrubbish", "DXF"),
        ("a.dxf", b"not a drawing at all", "DXF"),
        ("a.dxf", drawing(lambda space: space.add_text("no outline")), "no outline"),
        ("a.stl", b"solid", "must be one of"),
        ("girdle", b"1,2", "must be one of"),
    ],
)
def test_files_that_cannot_be_used_are_refused_in_words(name: str, content: bytes, words: str) -> None:
    with pytest.raises(BadInput, match=words) as refused:
        read_outline(content=content, name=name)
    assert refused.value.field == "file"


def test_blocks_of_blocks_are_not_opened() -> None:
    document = ezdxf.new("R2010", units=4)
    below = "start"
    document.blocks.new(below).add_circle((0, 0), 1)
    for level in range(12):
        block = document.blocks.new(f"level{level}")
        for place in range(10):
            block.add_blockref(below, (place, 0))
        below = f"level{level}"
    document.modelspace().add_blockref(below, (0, 0))
    document.modelspace().add_circle((0, 0), 3)
    text = io.StringIO()
    document.write(text)
    reading = read_outline(content=text.getvalue().encode(), name="a.dxf")
    assert sizes(reading) == pytest.approx((6, 6), abs=0.001)
    assert any("INSERT" in note for note in reading.notes)


def test_an_unknown_unit_is_refused() -> None:
    with pytest.raises(BadInput, match="must be one of mm") as refused:
        read_outline(content=rows(OVAL), name="a.csv", unit="furlong")
    assert refused.value.field == "unit"


@given(content=some.binary(max_size=400), ending=some.sampled_from(["csv", "dxf", "svg", "txt"]))
@settings(max_examples=150, deadline=None)
def test_any_bytes_give_points_or_a_sentence(content: bytes, ending: str) -> None:
    try:
        reading = read_outline(content=content, name=f"a.{ending}")
    except BadInput as refused:
        assert refused.message and refused.field == "file"
    else:
        assert np.isfinite(reading.points_mm).all()


@given(
    numbers=some.lists(
        some.tuples(some.floats(-50, 50), some.floats(-50, 50)), min_size=3, max_size=30, unique=True
    ),
    separator=some.sampled_from([",", ";", "\t", " ", "|"]),
)
@settings(max_examples=100, deadline=None)
def test_a_table_is_read_as_it_was_written(numbers: list[tuple[float, float]], separator: str) -> None:
    points = np.round(np.array(numbers), 5)
    larger = np.ptp(np.percentile(points, (1, 99), axis=0), axis=0).max()
    if not math.isclose(larger, 0, abs_tol=1e-6):
        reading = read_outline(content=rows(points, separator=separator), name="a.csv", unit="mm")
        assert reading.points_mm == pytest.approx(points, abs=1e-9)
