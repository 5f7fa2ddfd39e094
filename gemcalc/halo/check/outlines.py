"""
Girdle outlines rebuilt from set algebra: discs intersected, half-planes, a box opened by a disc.

Nothing here is shared with the search for a layout.
Distances are exact: to segments and arcs in closed form, to ellipses and superellipses by a root to 1e-12 mm.
Lengths are mm, x across the width and y along the length of the stone.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from gemcalc.halo.check import curves

Floats = npt.NDArray[np.float64]
Distance = Callable[[Floats], Floats]

FINE = 1024
"""Points a quarter turn in the polygons used for areas: a disc of 10 mm is true to 2e-5 mm2."""
MANY_SIDES = 100


@dataclass(frozen=True)
class Outline:
    """
    One closed outline.

    Args:
        signed: Signed distance, mm, of points (n, 2): positive outside, negative inside.
        polygon: The same outline as a fine polygon, for areas and for telling inside from outside.
    """

    signed: Distance
    polygon: shapely.Polygon

    @cached_property
    def plain(self) -> shapely.Polygon:
        """The polygon with far fewer corners: for paths round the stone, not for distances."""
        corners = shapely.get_coordinates(self.polygon.exterior)[:-1]
        return shapely.Polygon(corners[:: max(1, len(corners) // 256)])


def outline(data: Mapping[str, Any]) -> Outline:
    """
    The outline that *data* describes (``cut`` and its measures, mm).

    Raises:
        KeyError: a measure is missing, or the cut is not known.
    """
    return _outline(json.dumps(data, sort_keys=True, default=list))


@lru_cache(maxsize=256)
def _outline(key: str) -> Outline:
    data = json.loads(key)
    return BUILDERS[data["cut"]](data)


def _disc(x: float, y: float, radius: float) -> shapely.Polygon:
    return shapely.Point(x, y).buffer(radius, quad_segs=FINE)


def _unsigned(pieces: list[curves.Piece], points: Floats) -> Floats:
    return np.asarray(np.min([curves.distance(piece, points) for piece in pieces], axis=0))


def _from_pieces(pieces: list[curves.Piece], inside: Callable[[Floats], npt.NDArray[np.bool_]]) -> Distance:
    def signed(points: Floats) -> Floats:
        away = _unsigned(pieces, points)
        return np.where(inside(points), -away, away)

    return signed


def _round(data: Mapping[str, Any]) -> Outline:
    radius = float(data["diameter_mm"]) / 2
    return Outline(lambda p: np.hypot(p[:, 0], p[:, 1]) - radius, _disc(0.0, 0.0, radius))


def _oval(data: Mapping[str, Any]) -> Outline:
    across, along = float(data["width_mm"]) / 2, float(data["length_mm"]) / 2
    disc = _disc(0.0, 0.0, 1.0)
    polygon = shapely.transform(disc, lambda xy: xy * np.array([across, along]))
    return Outline(lambda p: curves.ellipse(across, along, p), polygon)


def _superellipse(data: Mapping[str, Any]) -> Outline:
    across, along = float(data["width_mm"]) / 2, float(data["length_mm"]) / 2
    power = float(data["exponent"])
    angles = np.linspace(0.0, 2 * math.pi, 4 * FINE, endpoint=False)
    polygon = shapely.Polygon(curves.superellipse_points(across, along, power, angles))
    return Outline(lambda p: curves.superellipse(across, along, power, p), polygon)


def _sides(points: list[tuple[float, float]]) -> Outline:
    polygon = shapely.Polygon(points)
    shapely.prepare(polygon)
    ring = np.array(polygon.exterior.coords)
    # A scanned girdle has thousands of sides: a tree finds the nearest without asking each of them.
    sides = shapely.linestrings(np.stack([ring[:-1], ring[1:]], axis=1))
    tree = shapely.STRtree(sides) if len(sides) > MANY_SIDES else None

    def signed(p: Floats) -> Floats:
        if tree is None:
            away = curves.to_segments(ring[:-1], ring[1:], p)
        else:
            away = tree.query_nearest(shapely.points(p), all_matches=False, return_distance=True)[1]
        return np.where(shapely.contains_xy(polygon, p[:, 0], p[:, 1]), -away, away)

    return Outline(signed, polygon)


def _given(data: Mapping[str, Any]) -> Outline:
    return _sides([(float(x), float(y)) for x, y in data["points_mm"]])


def _princess(data: Mapping[str, Any]) -> Outline:
    x, y = float(data["width_mm"]) / 2, float(data["length_mm"]) / 2
    return _sides([(x, y), (-x, y), (-x, -y), (x, -y)])


def _emerald(data: Mapping[str, Any]) -> Outline:
    x, y, cut = float(data["width_mm"]) / 2, float(data["length_mm"]) / 2, float(data["corner_mm"])
    # A box less four half-planes at 45 degrees: x + y may reach x + y - cut.
    box = shapely.box(-x, -y, x, y)
    reach = x + y - cut
    diamond = shapely.Polygon([(reach, 0.0), (0.0, reach), (-reach, 0.0), (0.0, -reach)])
    return _sides(list(box.intersection(diamond).exterior.coords)[:-1])


def _marquise(data: Mapping[str, Any]) -> Outline:
    x, y = float(data["width_mm"]) / 2, float(data["length_mm"]) / 2
    radius = (x * x + y * y) / (2 * x)
    reach = radius - x
    span = math.atan2(y, reach)
    pieces: list[curves.Piece] = [
        curves.Arc(-reach, 0.0, radius, -span, span),
        curves.Arc(reach, 0.0, radius, math.pi - span, math.pi + span),
    ]

    def inside(p: Floats) -> npt.NDArray[np.bool_]:
        left, right = np.hypot(p[:, 0] - reach, p[:, 1]), np.hypot(p[:, 0] + reach, p[:, 1])
        return np.maximum(left, right) < radius

    return Outline(_from_pieces(pieces, inside), _disc(reach, 0.0, radius) & _disc(-reach, 0.0, radius))


def _pear(data: Mapping[str, Any]) -> Outline:
    x = float(data["width_mm"]) / 2
    tip = float(data["length_mm"]) - x
    radius = (x * x + tip * tip) / (2 * x)
    reach = radius - x
    span = math.atan2(tip, reach)
    pieces: list[curves.Piece] = [
        curves.Arc(0.0, 0.0, x, math.pi, 2 * math.pi),
        curves.Arc(-reach, 0.0, radius, 0.0, span),
        curves.Arc(reach, 0.0, radius, math.pi - span, math.pi),
    ]

    def inside(p: Floats) -> npt.NDArray[np.bool_]:
        left, right = np.hypot(p[:, 0] - reach, p[:, 1]), np.hypot(p[:, 0] + reach, p[:, 1])
        return np.where(p[:, 1] > 0, np.maximum(left, right) < radius, np.hypot(p[:, 0], p[:, 1]) < x)

    top = _disc(reach, 0.0, radius) & _disc(-reach, 0.0, radius) & shapely.box(-x, 0.0, x, tip)
    bottom = _disc(0.0, 0.0, x) & shapely.box(-x, -x, x, 0.0)
    return Outline(_from_pieces(pieces, inside), shapely.union(top, bottom, grid_size=1e-9))


def _heart(data: Mapping[str, Any]) -> Outline:
    x = float(data["width_mm"]) / 2
    lobe = float(data.get("lobe_mm") or 0.48 * x)
    small = x - lobe
    drop = float(data["length_mm"]) - small
    radius = (x * x + drop * drop) / (2 * x)
    reach = radius - x
    span = math.atan2(drop, reach)
    notch = math.acos(-lobe / small) if small > lobe else math.pi
    pieces: list[curves.Piece] = [
        curves.Arc(lobe, 0.0, small, 0.0, notch),
        curves.Arc(-lobe, 0.0, small, math.pi - notch, math.pi),
        curves.Arc(-reach, 0.0, radius, -span, 0.0),
        curves.Arc(reach, 0.0, radius, math.pi, math.pi + span),
    ]
    if small < lobe:
        pieces.append(curves.Segment(small - lobe, 0.0, lobe - small, 0.0))

    def inside(p: Floats) -> npt.NDArray[np.bool_]:
        above = np.minimum(np.hypot(p[:, 0] - lobe, p[:, 1]), np.hypot(p[:, 0] + lobe, p[:, 1])) < small
        left, right = np.hypot(p[:, 0] - reach, p[:, 1]), np.hypot(p[:, 0] + reach, p[:, 1])
        return np.where(p[:, 1] > 0, above, np.maximum(left, right) < radius)

    lobes = (_disc(lobe, 0.0, small) | _disc(-lobe, 0.0, small)) & shapely.box(-x, 0.0, x, small)
    point = _disc(reach, 0.0, radius) & _disc(-reach, 0.0, radius) & shapely.box(-x, -drop, x, 0.0)
    return Outline(_from_pieces(pieces, inside), shapely.union(lobes, point, grid_size=1e-9))


def _cushion(data: Mapping[str, Any]) -> Outline:
    """A box with bowed sides, opened by the corner's disc: worn down by its radius, then grown by it."""
    x, y = float(data["width_mm"]) / 2, float(data["length_mm"]) / 2
    bow, corner = float(data.get("side_bow_mm") or 0.0), float(data.get("corner_radius_mm") or 0.0)
    worn = curves.box_worn(x, y, corner) if bow == 0 else curves.bowed_box_worn(x, y, bow, corner)
    core = worn.polygon
    # Growing a fine polygon by the corner's disc adds only tangents and arcs, so the area stays as fine.
    grown = core.buffer(corner, quad_segs=FINE) if corner else core
    return Outline(lambda p: worn.signed(p) - corner, grown)


BUILDERS: dict[str, Callable[[Mapping[str, Any]], Outline]] = {
    "round": _round,
    "oval": _oval,
    "superellipse": _superellipse,
    "cushion": _cushion,
    "pear": _pear,
    "marquise": _marquise,
    "emerald": _emerald,
    "princess": _princess,
    "heart": _heart,
    "outline": _given,
}
