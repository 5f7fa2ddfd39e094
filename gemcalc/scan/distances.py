"""
Signed distances of points from the named girdle outlines, mm, positive outside.

All but the superellipse are chains of lines and arcs, so their distance is exact and closed.
Shapes are rows ``(..., k)`` of an array, so that one numpy call answers for many starts
and many small changes of a parameter at once: that is what makes a fit take milliseconds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Flags = NDArray[np.bool_]

LEAST_BOW_MM = 1e-6
"""
A straight side is drawn as an arc bowed by this much: its radius stays finite and the error is a nanometre.
"""


def round_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from round outlines, rows (diameter), mm."""
    return np.hypot(x, y) - shape[..., 0:1] / 2


def _slide(half_width: Floats, half_length: Floats, power: Floats | None, x: Floats, y: Floats) -> Floats:
    """
    Distance to ``|x/a|^p + |y/b|^p = 1`` (an ellipse where *power* is None),
    by sliding the foot along the curve.
    """
    x, y = np.abs(x), np.abs(y)
    tiny = 1e-9

    def onto_curve(px: Floats, py: Floats) -> tuple[Floats, Floats]:
        u, v = px / half_width, py / half_length
        if power is None:
            scale = np.hypot(u, v)
        else:
            big = np.maximum(np.maximum(u, v), tiny)
            scale = big * ((u / big) ** power + (v / big) ** power) ** (1 / power)
        scale = np.maximum(scale, tiny)
        return px / scale, py / scale

    foot_x, foot_y = onto_curve(x, y)
    for turn in range(4):
        if power is None:
            nx, ny = foot_x / half_width**2, foot_y / half_length**2
        else:
            nx = (foot_x / half_width) ** (power - 1) / half_width
            ny = (foot_y / half_length) ** (power - 1) / half_length
        size = np.maximum(np.hypot(nx, ny), tiny)
        nx, ny = nx / size, ny / size
        if turn == 3:
            break
        along = (y - foot_y) * nx - (x - foot_x) * ny
        foot_x, foot_y = onto_curve(np.maximum(foot_x - along * ny, 0), np.maximum(foot_y + along * nx, 0))
    return (x - foot_x) * nx + (y - foot_y) * ny


def oval_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from oval outlines, rows (length, width), mm."""
    return _slide(shape[..., 1:2] / 2, shape[..., 0:1] / 2, None, x, y)


def superellipse_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from superellipse outlines, rows (length, width, exponent), mm."""
    return _slide(shape[..., 1:2] / 2, shape[..., 0:1] / 2, shape[..., 2:3], x, y)


@dataclass(frozen=True)
class CushionArcs:
    """Centres and radii of a cushion's side arcs and corner arcs, in its first quadrant, mm."""

    side_radius: Floats
    top_radius: Floats
    side_x: Floats
    top_y: Floats
    corner_x: Floats
    corner_y: Floats
    corner_radius: Floats


def cushion_arcs(shape: Floats) -> CushionArcs:
    """
    The arcs of cushions with rows (length, width, corner radius, side bow), mm.

    The corner arc touches both side arcs from inside,
    so its centre lies where two circles round the side arcs' centres meet.
    """
    half_length, half_width = shape[..., 0:1] / 2, shape[..., 1:2] / 2
    radius, bow = shape[..., 2:3], np.maximum(shape[..., 3:4], LEAST_BOW_MM)
    side_radius = ((half_length - bow) ** 2 + bow**2) / (2 * bow)
    top_radius = ((half_width - bow) ** 2 + bow**2) / (2 * bow)
    side_x, top_y = half_width - side_radius, half_length - top_radius
    # The meeting point of the circles of radius (side − corner) and (top − corner),
    # in the frame of their centres.
    from_side, from_top = side_radius - radius, top_radius - radius
    ax, ay = -side_x, top_y
    apart = np.hypot(ax, ay)
    along = (from_side**2 - from_top**2 + apart**2) / (2 * apart)
    across = np.sqrt(np.maximum(from_side**2 - along**2, 0))
    ux, uy = ax / apart, ay / apart
    first = (side_x + along * ux - across * uy, along * uy + across * ux)
    second = (side_x + along * ux + across * uy, along * uy - across * ux)
    outer = first[0] + first[1] > second[0] + second[1]
    return CushionArcs(
        side_radius,
        top_radius,
        side_x,
        top_y,
        np.where(outer, first[0], second[0]),
        np.where(outer, first[1], second[1]),
        radius,
    )


def cushion_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from cushion outlines, rows (length, width, corner radius, side bow), mm."""
    x, y = np.abs(x), np.abs(y)
    arcs = cushion_arcs(shape)
    dx, dy = x - arcs.corner_x, y - arcs.corner_y
    # Each border of the corner's sector is the line from a side arc's centre through the corner's centre.
    above_side = (arcs.corner_x - arcs.side_x) * dy - arcs.corner_y * dx >= 0
    below_top = arcs.corner_x * dy - (arcs.corner_y - arcs.top_y) * dx <= 0
    side = np.hypot(x - arcs.side_x, y) - arcs.side_radius
    top = np.hypot(x, y - arcs.top_y) - arcs.top_radius
    corner = np.hypot(dx, dy) - arcs.corner_radius
    return np.where(above_side & below_top, corner, np.where(above_side, top, side))


def _half_lens(half_width: Floats, height: Floats, x: Floats, y: Floats) -> Floats:
    """
    Distance to the arc from (half width, 0), upright there, to the tip (0, height),
    and round the tip; x, y ≥ 0.
    """
    radius = (half_width**2 + height**2) / (2 * half_width)
    inset = radius - half_width
    past_tip = inset * y - height * (x + inset) > 0
    return np.where(past_tip, np.hypot(x, y - height), np.hypot(x + inset, y) - radius)


def marquise_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from marquise outlines, rows (length, width), mm."""
    return _half_lens(shape[..., 1:2] / 2, shape[..., 0:1] / 2, np.abs(x), np.abs(y))


def pear_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from pear outlines, rows (length, width); origin on the widest line, mm."""
    half_width = shape[..., 1:2] / 2
    upper = _half_lens(half_width, shape[..., 0:1] - half_width, np.abs(x), y)
    return np.where(y < 0, np.hypot(x, y) - half_width, upper)


def heart_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from heart outlines, rows (length, width, lobe); origin between the lobes, mm."""
    x = np.abs(x)
    half_width, lobe = shape[..., 1:2] / 2, shape[..., 2:3]
    radius = half_width - lobe
    notch = np.sqrt(np.maximum(radius**2 - lobe**2, 0))
    below_notch = -lobe * y - notch * (x - lobe) > 0
    upper = np.where(below_notch, -np.hypot(x, y - notch), np.hypot(x - lobe, y) - radius)
    lower = _half_lens(half_width, shape[..., 0:1] - radius, x, -y)
    return np.where(y < 0, lower, upper)


def princess_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from princess outlines, rows (length, width), mm."""
    dx, dy = np.abs(x) - shape[..., 1:2] / 2, np.abs(y) - shape[..., 0:1] / 2
    return np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) + np.minimum(np.maximum(dx, dy), 0)


def emerald_distance(shape: Floats, x: Floats, y: Floats) -> Floats:
    """Signed distances from emerald outlines, rows (length, width, corner), mm."""
    dx, dy = np.abs(x) - shape[..., 1:2] / 2, np.abs(y) - shape[..., 0:1] / 2
    corner = shape[..., 2:3]
    over_cut = (dx + dy + corner) / np.sqrt(2)
    # Along the cut, counted from its middle; its ends lie half a diagonal away.
    past_end = np.maximum(np.abs(dx - dy) / np.sqrt(2) - corner / np.sqrt(2), 0)
    to_side = np.hypot(dx, np.maximum(dy + corner, 0))
    to_top = np.hypot(dy, np.maximum(dx + corner, 0))
    apart = np.minimum(np.minimum(to_side, to_top), np.hypot(over_cut, past_end))
    outside = np.maximum(np.maximum(dx, dy), over_cut) > 0
    signed: Floats = np.where(outside, apart, -apart)
    return signed
