"""A model cut through by a plane: openings; see tests/outside for another slicer."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely

from commissions.pages.demo.shapes import ellipse, plate_stl
from gemcalc.errors import BadInput, OutOfRange
from gemcalc.meshes.slicing import opening_for, openings_at
from gemcalc.meshes.stl import read_stl


def plate(inner, outer, **levels) -> np.ndarray:
    triangles, _notes = read_stl(content=plate_stl(inner, outer, **levels))
    return triangles.astype(float)


def area(ring: np.ndarray) -> float:
    return float(shapely.Polygon(ring).area)


def test_the_cut_gives_the_hole_back():
    """The hole is the polygon it was made from: its area by the shoelace formula."""
    inner = ellipse(9.2, 6.7, points=360)
    found = openings_at(triangles=plate(inner, ellipse(12, 10)), axis="z", level_mm=8.4)
    assert len(found) == 1
    # STL holds single precision: seven digits of a centimetre are a thousandth of a micrometre.
    assert found[0].area_mm2 == pytest.approx(area(inner), abs=2e-5)
    assert (found[0].width_mm, found[0].length_mm) == pytest.approx((6.7, 9.2), abs=1e-4)
    assert area(found[0].points_mm) == pytest.approx(math.pi / 4 * 9.2 * 6.7, rel=1e-3)


@pytest.mark.parametrize(("axis", "order"), [("z", (0, 1, 2)), ("x", (2, 0, 1)), ("y", (1, 2, 0))])
def test_a_model_may_look_along_any_axis(axis, order):
    """Turned so that up is another axis, the opening is the same and not mirrored."""
    notched = ellipse(8, 8).copy()
    notched[:40] *= 0.9  # a shape that its mirror image does not cover
    turned = plate(notched, ellipse(12, 12))[:, :, list(order)]
    found = openings_at(triangles=turned, axis=axis, level_mm=8.4)[0]
    off = shapely.Polygon(found.points_mm).symmetric_difference(shapely.Polygon(notched)).area
    assert off < 1e-3


def test_the_opening_for_a_stone_is_found_among_others():
    """A seat under a wider rim, beside a hole that fits no stone: the seat's level is taken."""
    rim = plate(ellipse(7.4, 7.4), ellipse(12, 12), low_mm=9.2, high_mm=10.0)
    seat = plate(ellipse(6.6, 6.6), ellipse(12, 12), low_mm=8.0, high_mm=9.1)
    small = plate(ellipse(2, 2), ellipse(3, 3)) + np.array((20.0, 0, 0))
    whole = np.concatenate((rim, seat, small))
    found, seen = opening_for(triangles=whole, girdle_mm=ellipse(6.5, 6.5), wanted_mm=0.05)
    assert found.axis == "z"
    assert 8.0 < found.level_mm < 9.1
    assert found.width_mm == pytest.approx(6.6, abs=1e-3)
    assert any(one.width_mm > 7 for one in seen)


def test_a_given_level_is_kept():
    triangles = plate(ellipse(6.6, 6.6), ellipse(12, 12))
    found, _seen = opening_for(triangles=triangles, girdle_mm=ellipse(6.5, 6.5), axis="z", level_mm=8.9)
    assert found.level_mm == 8.9


def test_a_stone_left_in_the_opening_is_no_opening():
    """The stone modelled in place: no void of its size is left there."""
    triangles = np.concatenate(
        (
            plate(ellipse(6.6, 6.6), ellipse(12, 12)),
            plate(ellipse(0.5, 0.5), ellipse(6.5, 6.5), low_mm=7.0, high_mm=10.0),
        )
    )
    with pytest.raises(BadInput, match="hide the stones"):
        opening_for(triangles=triangles, girdle_mm=ellipse(6.5, 6.5))


def test_a_level_in_a_flat_face_is_cut_all_the_same():
    triangles = plate(ellipse(6.6, 6.6), ellipse(12, 12), low_mm=8.0, high_mm=9.0)
    found = openings_at(triangles=triangles, axis="z", level_mm=9.0)
    assert [round(one.width_mm, 3) for one in found] in ([], [6.6])


@pytest.mark.parametrize("level", [-5.0, 7.9, 9.2, 100.0])
def test_beside_the_model_there_is_nothing(level):
    triangles = plate(ellipse(6.6, 6.6), ellipse(12, 12))
    assert openings_at(triangles=triangles, axis="z", level_mm=level) == []


def test_what_cannot_be_is_refused():
    triangles = plate(ellipse(6.6, 6.6), ellipse(12, 12))
    girdle = ellipse(6.5, 6.5)
    with pytest.raises(BadInput):
        openings_at(triangles=triangles, axis="w", level_mm=8.4)
    with pytest.raises(BadInput):
        opening_for(triangles=triangles, girdle_mm=girdle, axis="w")
    with pytest.raises(BadInput):
        opening_for(triangles=triangles, girdle_mm=girdle, level_mm=8.4)
    with pytest.raises(OutOfRange):
        opening_for(triangles=triangles, girdle_mm=girdle, wanted_mm=-1)
