"""Exact distances from points to segments, arcs, ellipses, superellipses and worn boxes, all in mm."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt
import shapely

Floats = npt.NDArray[np.float64]

ARC_POINTS = 1025
"""Points along a bowed side in the polygons used for areas."""


@dataclass(frozen=True)
class Segment:
    """A straight piece from (ax, ay) to (bx, by), mm."""

    ax: float
    ay: float
    bx: float
    by: float


@dataclass(frozen=True)
class Arc:
    """A circular piece about (x, y), mm, anticlockwise from angle *start* to *end*, radians."""

    x: float
    y: float
    radius: float
    start: float
    end: float


Piece = Segment | Arc


@dataclass(frozen=True)
class Worn:
    """What a box leaves when it is worn down by a disc: its signed distance, and itself as a polygon."""

    signed: Callable[[Floats], Floats]
    polygon: shapely.Geometry


def to_segments(starts: Floats, ends: Floats, points: Floats) -> Floats:
    """Distance of each point to the nearest of the segments."""
    along = ends - starts
    square = np.maximum(np.einsum("ij,ij->i", along, along), 1e-300)
    dx = points[:, None, 0] - starts[None, :, 0]
    dy = points[:, None, 1] - starts[None, :, 1]
    share = np.clip((dx * along[:, 0] + dy * along[:, 1]) / square, 0.0, 1.0)
    return np.asarray(np.hypot(dx - share * along[:, 0], dy - share * along[:, 1]).min(axis=1))


def distance(piece: Piece, points: Floats) -> Floats:
    """Distance of each point to one piece."""
    if isinstance(piece, Segment):
        start, end = np.array([[piece.ax, piece.ay]]), np.array([[piece.bx, piece.by]])
        return to_segments(start, end, points)
    dx, dy = points[:, 0] - piece.x, points[:, 1] - piece.y
    turned = np.mod(np.arctan2(dy, dx) - piece.start, 2 * math.pi)
    on_arc = np.abs(np.hypot(dx, dy) - piece.radius)
    ends = [
        np.hypot(dx - piece.radius * math.cos(angle), dy - piece.radius * math.sin(angle))
        for angle in (piece.start, piece.end)
    ]
    return np.where(turned <= piece.end - piece.start, on_arc, np.minimum(ends[0], ends[1]))


def ellipse(across: float, along: float, points: Floats) -> Floats:
    """
    Signed distance to the ellipse with half axes *across* (x) and *along* (y).

    The foot (a² x / (t + a²), b² y / (t + b²)) lies on the ellipse for the greatest root t of a function that
    falls and is convex there, so that Newton from its left walks up to the root and cannot overshoot.
    """
    x, y = np.abs(points[:, 0]), np.abs(points[:, 1])
    a2, b2 = across * across, along * along
    t = np.maximum(across * x - a2, along * y - b2)
    ax, by = across * x, along * y
    for _ in range(60):
        u, v = ax / np.maximum(t + a2, 1e-300), by / np.maximum(t + b2, 1e-300)
        value = u * u + v * v - 1
        slope = -2 * (u * u / np.maximum(t + a2, 1e-300) + v * v / np.maximum(t + b2, 1e-300))
        step = np.where(value > 1e-15, -value / np.minimum(slope, -1e-300), 0.0)
        t = t + step
        if np.all(step <= 1e-15 * (np.abs(t) + a2 + b2)):
            break
    # A point on an axis inside the evolute has its foot off that axis: its other half puts it on the ellipse.
    foot_x = a2 * x / np.maximum(t + a2, 1e-300)
    foot_y = b2 * y / np.maximum(t + b2, 1e-300)
    on_x = across * np.sqrt(np.maximum(1 - (foot_y / along) ** 2, 0.0))
    foot_x = np.where(t + a2 > 1e-9 * a2, foot_x, on_x)
    on_y = along * np.sqrt(np.maximum(1 - (foot_x / across) ** 2, 0.0))
    foot_y = np.where(t + b2 > 1e-9 * b2, foot_y, on_y)
    away = np.hypot(x - foot_x, y - foot_y)
    return np.where((x / across) ** 2 + (y / along) ** 2 < 1, -away, away)


def superellipse_points(across: float, along: float, power: float, angles: Floats) -> Floats:
    """Points of |x/a|^p + |y/b|^p = 1 in the directions *angles*, radians."""
    cos, sin = np.cos(angles), np.sin(angles)
    radius = (np.abs(cos / across) ** power + np.abs(sin / along) ** power) ** (-1 / power)
    return np.stack([radius * cos, radius * sin], axis=-1)


def superellipse(across: float, along: float, power: float, points: Floats) -> Floats:
    """
    Signed distance to the superellipse, by narrowing the foot's direction on either side of its corner.

    The nearest point lies in the point's own quarter; each half of a quarter has one least distance at most.
    """
    x, y = np.abs(points[:, 0]), np.abs(points[:, 1])
    corner = math.atan2(along, across)
    best = np.full(len(x), np.inf)
    for low, high in ((0.0, corner), (corner, math.pi / 2)):
        mesh = np.linspace(low, high, 49)
        table = superellipse_points(across, along, power, mesh)
        nearest = np.hypot(x[:, None] - table[:, 0], y[:, None] - table[:, 1]).argmin(axis=1)
        left, right = mesh[np.maximum(nearest - 1, 0)], mesh[np.minimum(nearest + 1, 48)]
        best = np.minimum(best, _narrow(across, along, power, x, y, left, right))
    return np.where((x / across) ** power + (y / along) ** power < 1, -best, best)


def _narrow(
    across: float, along: float, power: float, x: Floats, y: Floats, left: Floats, right: Floats
) -> Floats:
    golden = (math.sqrt(5) - 1) / 2

    def square(angle: Floats) -> Floats:
        foot = superellipse_points(across, along, power, angle)
        return np.asarray((x - foot[..., 0]) ** 2 + (y - foot[..., 1]) ** 2)

    inner, outer = right - golden * (right - left), left + golden * (right - left)
    f, g = square(inner), square(outer)
    for _ in range(26):
        closer = f < g
        left, right = np.where(closer, left, inner), np.where(closer, outer, right)
        fresh = np.where(closer, right - golden * (right - left), left + golden * (right - left))
        value = square(fresh)
        inner, outer = np.where(closer, fresh, outer), np.where(closer, inner, fresh)
        f, g = np.where(closer, value, g), np.where(closer, f, value)
    # The ends count too: the foot may be the tip itself where the exponent makes one.
    return np.sqrt(np.minimum(np.minimum(f, g), np.minimum(square(left), square(right))))


def box_worn(x: float, y: float, by: float) -> Worn:
    """A box of half sides *x* and *y* worn down *by* a radius: a smaller box, or the line it shrinks to."""
    half = np.array([max(x - by, 0.0), max(y - by, 0.0)])

    def signed(points: Floats) -> Floats:
        past = np.abs(points) - half
        outside = np.hypot(np.maximum(past[:, 0], 0.0), np.maximum(past[:, 1], 0.0))
        return np.asarray(outside + np.minimum(past.max(axis=1), 0.0))

    if half.min() > 0:
        return Worn(signed, shapely.box(-half[0], -half[1], half[0], half[1]))
    return Worn(signed, shapely.LineString([-half, half]) if half.max() > 0 else shapely.Point(0.0, 0.0))


def bowed_box_worn(x: float, y: float, bow: float, by: float) -> Worn:
    """A box bowed out by *bow* to the overall half sides *x* and *y*, worn down *by* a radius."""
    chord_x, chord_y = x - bow, y - bow
    top = (chord_x**2 + bow**2) / (2 * bow)
    right = (chord_y**2 + bow**2) / (2 * bow)
    up, over = y - top, x - right
    # Worn sides keep their centres; they meet where the corner's disc is centred.
    corner = upper_meeting(over, right - by, up, top - by)
    half_top = math.atan2(corner[0], corner[1] - up)
    half_right = math.atan2(corner[1], corner[0] - over)
    arcs = [
        Arc(0.0, up, top - by, math.pi / 2 - half_top, math.pi / 2 + half_top),
        Arc(-over, 0.0, right - by, math.pi - half_right, math.pi + half_right),
        Arc(0.0, -up, top - by, 1.5 * math.pi - half_top, 1.5 * math.pi + half_top),
        Arc(over, 0.0, right - by, -half_right, half_right),
    ]
    ring = np.concatenate([_along(arc) for arc in (arcs[3], *arcs[:3])])
    polygon = shapely.Polygon(ring)
    shapely.prepare(polygon)

    def signed(points: Floats) -> Floats:
        away: Floats = np.asarray(np.min([distance(arc, points) for arc in arcs], axis=0))
        inside = shapely.contains_xy(polygon, points[:, 0], points[:, 1])
        return np.asarray(np.where(inside, -away, away))

    return Worn(signed, polygon)


def _along(arc: Arc) -> Floats:
    angles = np.linspace(arc.start, arc.end, ARC_POINTS)
    return np.stack([arc.x + arc.radius * np.cos(angles), arc.y + arc.radius * np.sin(angles)], axis=1)


def upper_meeting(over: float, first: float, up: float, second: float) -> tuple[float, float]:
    """Upper right meeting of the circle about (over, 0) with the circle about (0, up)."""
    apart = math.hypot(over, up)
    if apart < 1e-12:
        raise KeyError("corner_radius_mm")
    share = (first**2 - second**2 + apart**2) / (2 * apart)
    height = math.sqrt(max(first**2 - share**2, 0.0))
    ux, uy = -over / apart, up / apart
    found = [
        (over + share * ux + sign * height * uy, share * uy - sign * height * ux) for sign in (1.0, -1.0)
    ]
    return max(found, key=lambda point: point[0] + point[1])
