"""A girdle's outline as a drawing: a circle, an ellipse, or a path of exact arcs and lines."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np
import shapely

from gemcalc.drawing.scene import Circle, Ellipse, Item, Path, Point, Vertex, bulge_of
from gemcalc.halo.check import curves, outlines

Data = Mapping[str, Any]


def outline_item(data: Data, kind: str) -> Item:
    """The outline *data* as one closed shape of *kind*."""
    cut = data["cut"]
    if cut == "round":
        return Circle(kind, 0.0, 0.0, float(data["diameter_mm"]) / 2)
    x, y = half_size(data) if cut != "outline" else (0.0, 0.0)
    if cut == "oval":
        return Ellipse(kind, 0.0, 0.0, x, y)
    if cut in _PATHS:
        return Path(kind, tuple(_PATHS[cut](data, x, y)), closed=True)
    # A superellipse and a scanned girdle have no arcs: many short lines, to a tenth of a micrometre.
    ring = shapely.simplify(outlines.outline(data).polygon, 1e-4).exterior.coords[:-1]
    return Path(kind, tuple((px, py, 0.0) for px, py in ring), closed=True)


def half_size(data: Data) -> Point:
    """Half width and half length, mm."""
    if data["cut"] == "round":
        return float(data["diameter_mm"]) / 2, float(data["diameter_mm"]) / 2
    if data["cut"] == "outline":
        left, low, right, high = outlines.outline(data).polygon.bounds
        return (right - left) / 2, (high - low) / 2
    return float(data["width_mm"]) / 2, float(data["length_mm"]) / 2


def middle(data: Data) -> Point:
    """Middle of the outline's own box, mm: a pear's origin is not its middle."""
    left, low, right, high = outlines.outline(data).polygon.bounds
    return (left + right) / 2, (low + high) / 2


def edge(data: Data, origin: Point, degrees: float, *, stretched: bool = False) -> Point:
    """
    Where a ray from *origin* leaves the outline.

    Args:
        data: The outline.
        origin: A point inside it, mm.
        degrees: Direction, anticlockwise from +x.
        stretched: Whether directions are stretched with the outline, so that 45° points to a box's corner.
    """
    polygon = outlines.outline(data).polygon
    across, along = half_size(data) if stretched else (1.0, 1.0)
    dx, dy = across * math.cos(math.radians(degrees)), along * math.sin(math.radians(degrees))
    ring = np.asarray(polygon.exterior.coords) - np.asarray(origin)
    side = dx * ring[:, 1] - dy * ring[:, 0]
    ahead = dx * ring[:, 0] + dy * ring[:, 1] > 0
    crossing = np.flatnonzero((side[:-1] <= 0) & (side[1:] > 0) | (side[:-1] >= 0) & (side[1:] < 0))
    best = (0.0, 0.0)
    for place in crossing:
        if not (ahead[place] or ahead[place + 1]):
            continue
        share = side[place] / (side[place] - side[place + 1])
        x, y = ring[place] + share * (ring[place + 1] - ring[place])
        if math.hypot(x, y) > math.hypot(*best):
            best = (float(x), float(y))
    return origin[0] + best[0], origin[1] + best[1]


def _corners(*points: Point) -> list[Vertex]:
    return [(x, y, 0.0) for x, y in points]


def _princess(data: Data, x: float, y: float) -> list[Vertex]:
    return _corners((x, y), (-x, y), (-x, -y), (x, -y))


def cut_box(x: float, y: float, cut: float) -> list[Point]:
    """A box of half sides *x*, *y* with its corners cut at 45° by *cut* along each side."""
    return [
        (x, y - cut),
        (x - cut, y),
        (cut - x, y),
        (-x, y - cut),
        (-x, cut - y),
        (cut - x, -y),
        (x - cut, -y),
        (x, cut - y),
    ]


def _emerald(data: Data, x: float, y: float) -> list[Vertex]:
    return _corners(*cut_box(x, y, float(data["corner_mm"])))


def _marquise(data: Data, x: float, y: float) -> list[Vertex]:
    side = bulge_of(2 * math.atan2(y, (x * x + y * y) / (2 * x) - x))
    return [(0.0, -y, side), (0.0, y, side)]


def _pear(data: Data, x: float, y: float) -> list[Vertex]:
    tip = 2 * y - x
    side = bulge_of(math.atan2(tip, (x * x + tip * tip) / (2 * x) - x))
    return [(x, 0.0, side), (0.0, tip, side), (-x, 0.0, 1.0)]


def _heart(data: Data, x: float, y: float) -> list[Vertex]:
    lobe = float(data.get("lobe_mm") or 0.48 * x)
    small = x - lobe
    drop = 2 * y - small
    side = bulge_of(math.atan2(drop, (x * x + drop * drop) / (2 * x) - x))
    if small <= lobe:
        between: list[Vertex] = [(lobe - small, 0.0, 0.0), (small - lobe, 0.0, 1.0)]
        return [(0.0, -drop, side), (x, 0.0, 1.0), *between, (-x, 0.0, side)]
    over = bulge_of(math.acos(-lobe / small))
    notch = math.sqrt(small**2 - lobe**2)
    return [(0.0, -drop, side), (x, 0.0, over), (0.0, notch, over), (-x, 0.0, side)]


def _cushion(data: Data, x: float, y: float) -> list[Vertex]:
    bow, corner = float(data.get("side_bow_mm") or 0.0), float(data.get("corner_radius_mm") or 0.0)
    if bow == 0:
        half_right, half_top, cx, cy = 0.0, 0.0, x - corner, y - corner
    else:
        top = ((x - bow) ** 2 + bow**2) / (2 * bow)
        right = ((y - bow) ** 2 + bow**2) / (2 * bow)
        cx, cy = curves.upper_meeting(x - right, right - corner, y - top, top - corner)
        half_top, half_right = math.atan2(cx, cy - (y - top)), math.atan2(cy, cx - (x - right))
    round_ = bulge_of(math.pi / 2 - half_top - half_right)
    flat_right, flat_top = bulge_of(2 * half_right), bulge_of(2 * half_top)
    low = (cx + corner * math.cos(half_right), cy + corner * math.sin(half_right))
    high = (cx + corner * math.sin(half_top), cy + corner * math.cos(half_top))
    return [
        (low[0], -low[1], flat_right),
        (*low, round_),
        (*high, flat_top),
        (-high[0], high[1], round_),
        (-low[0], low[1], flat_right),
        (-low[0], -low[1], round_),
        (-high[0], -high[1], flat_top),
        (high[0], -high[1], round_),
    ]


_PATHS: dict[str, Callable[[Data, float, float], list[Vertex]]] = {
    "princess": _princess,
    "emerald": _emerald,
    "marquise": _marquise,
    "pear": _pear,
    "heart": _heart,
    "cushion": _cushion,
}
