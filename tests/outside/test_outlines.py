"""Areas of outlines seen from above against polygons of shapely, built by another road."""

from __future__ import annotations

import math

import pytest
from scipy.special import ellipe
from shapely import Point, Polygon, box
from shapely.affinity import scale
from shapely.ops import unary_union

from gemcalc.ring_of_stones import line_of_centres_mm, ring_of_stones
from gemcalc.stones import face_area_mm2, same_face_round_mm
from tests.outside.limits import keeps

CORNERS = 5_000


def disc(x: float, y: float, radius: float) -> Polygon:
    return Point(x, y).buffer(radius, quad_segs=CORNERS)


def marquise(length: float, width: float) -> Polygon:
    """Two equal discs overlapping in a lens."""
    radius = (length**2 + width**2) / (4 * width)
    return disc(radius - width / 2, 0, radius).intersection(disc(width / 2 - radius, 0, radius))


def pear(length: float, width: float) -> Polygon:
    """The upper half of a lens on the widest line, a half-disc below it."""
    lens = marquise(2 * (length - width / 2), width)
    return unary_union([lens.intersection(box(-width, 0, width, length)), disc(0, 0, width / 2)])


def cut_corners(length: float, width: float, corner: float) -> Polygon:
    whole = box(-width / 2, -length / 2, width / 2, length / 2)
    for sx in (-1, 1):
        for sy in (-1, 1):
            x, y = sx * width / 2, sy * length / 2
            whole = whole.difference(Polygon([(x, y), (x - sx * corner, y), (x, y - sy * corner)]))
    return whole


def cushion(length: float, width: float, corner: float) -> Polygon:
    inner = box(-width / 2 + corner, -length / 2 + corner, width / 2 - corner, length / 2 - corner)
    return inner.buffer(corner, quad_segs=CORNERS)


CASES = {
    "round": (disc(0, 0, 3.25), 6.5, 6.5, 0.0),
    "oval": (scale(disc(0, 0, 1), 3.0, 4.0), 8.0, 6.0, 0.0),
    "marquise": (marquise(10.5, 5.0), 10.5, 5.0, 0.0),
    "pear": (pear(8.5, 5.5), 8.5, 5.5, 0.0),
    "emerald": (cut_corners(7.0, 5.0, 0.8), 7.0, 5.0, 0.8),
    "asscher": (cut_corners(5.5, 5.5, 1.1), 5.5, 5.5, 1.1),
    "cushion": (cushion(6.5, 5.5, 1.4), 6.5, 5.5, 1.4),
    "princess": (box(0, 0, 5.5, 5.5), 5.5, 5.5, 0.0),
    "baguette": (box(0, 0, 2.0, 4.0), 4.0, 2.0, 0.0),
}


@pytest.mark.parametrize("cut", CASES)
def test_area_against_a_polygon(cut: str) -> None:
    polygon, length, width, corner = CASES[cut]
    ours = face_area_mm2(cut=cut, length_mm=length, width_mm=width, corner_mm=corner)
    keeps("outline-area", 100 * abs(ours / polygon.area - 1))


def test_the_line_of_centres_round_an_ellipse_and_a_marquise() -> None:
    """Steiner's formula against the elliptic integral of scipy and against shapely's own parallel curve."""
    half_length, half_width = 4.0, 3.0
    ellipse = 4 * half_length * float(ellipe(1 - (half_width / half_length) ** 2))
    assert line_of_centres_mm(perimeter_mm=ellipse, offset_mm=0.80) == pytest.approx(27.1300, abs=5e-5)
    for polygon, printed in ((CASES["oval"][0], 27.130), (marquise(10.0, 5.0), 28.209)):
        ours = line_of_centres_mm(perimeter_mm=polygon.length, offset_mm=0.80)
        assert ours == pytest.approx(printed, abs=5e-4)
        assert ours == pytest.approx(polygon.buffer(0.80, quad_segs=2_000).length, abs=1e-5)


def test_a_round_of_the_same_area_is_that_round() -> None:
    area = face_area_mm2(cut="round", length_mm=6.5, width_mm=6.5)
    assert same_face_round_mm(area_mm2=area) == pytest.approx(6.5, abs=1e-12)


@pytest.mark.parametrize(
    ("centre", "melee", "clearance", "gap"),
    [(6.5, 1.3, 0.15, 0.1), (6.5, 1.0, 0.1, 0.1), (8.2, 1.5, 0.2, 0.12), (4.1, 1.1, 0.1, 0.08)],
)
def test_a_ring_of_stones_drawn_as_discs(centre: float, melee: float, clearance: float, gap: float) -> None:
    """Gap, clearance and outside diameter are measured on the drawing."""
    ring = ring_of_stones(
        centre_diameter_mm=centre, melee_diameter_mm=melee, clearance_mm=clearance, gap_mm=gap
    )
    radius = ring.centre_line_diameter_mm / 2
    stones = [
        Point(radius * math.cos(at), radius * math.sin(at)).buffer(melee / 2, quad_segs=2_000)
        for at in (2 * math.pi * place / ring.count for place in range(ring.count))
    ]
    for one, other in zip(stones, [*stones[1:], stones[0]], strict=True):
        assert one.distance(other) == pytest.approx(ring.even_gap_mm, abs=2e-5)
    assert stones[0].distance(disc(0, 0, centre / 2)) == pytest.approx(clearance, abs=2e-5)
    assert unary_union(stones).hausdorff_distance(Point(0, 0)) == pytest.approx(
        ring.outside_diameter_mm / 2, abs=2e-5
    )
    assert ring.even_gap_mm >= gap - 1e-9
    assert ring.next_count_gap_mm < gap
