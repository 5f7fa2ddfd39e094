"""
The cuts as ordered pairs of girdle point and outward normal, each traced from the -y axis anticlockwise.

A flat keeps its normal, a sharp corner keeps its point, a smooth part moves both: so a stone can be rolled round
any of them by one and the same parameter.
Symmetric cuts are traced on a quarter or a half and mirrored, so that their symmetry is exact.

Source: exact-geometry.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from gemcalc.errors import BadInput
from gemcalc.halo.case import Outline

Floats = npt.NDArray[np.float64]
Trace = tuple[Floats, Floats, Floats]
"""Points x and y (mm) and the direction of the outward normal (radians), in order along the girdle."""

HALF_PI = math.pi / 2


def arc(cx: float, cy: float, radius: float, start: float, end: float, *, step: float, reach: float) -> Trace:
    """Arc (or, of radius nought, a sharp corner) from one normal direction to the next, finely divided."""
    count = max(2, math.ceil((radius + reach) * abs(end - start) / step) + 1)
    phi = np.linspace(start, end, count)
    return cx + radius * np.cos(phi), cy + radius * np.sin(phi), phi


def line(x0: float, y0: float, x1: float, y1: float, *, step: float) -> Trace:
    """Flat from one point to the next, its inside on the left."""
    count = max(2, math.ceil(math.hypot(x1 - x0, y1 - y0) / step) + 1)
    phi = math.atan2(-(x1 - x0), y1 - y0)
    return np.linspace(x0, x1, count), np.linspace(y0, y1, count), np.full(count, phi)


def join(*parts: Trace) -> Trace:
    """One trace after the other."""
    x, y, phi = (np.concatenate(column) for column in zip(*parts, strict=True))
    return x, y, phi


def _even(curve: Callable[[Floats], Trace], t: Floats, *, step: float, reach: float) -> Trace:
    """Trace *curve* over *t* again in even steps of the parallel curve at distance *reach*."""
    for _ in range(3):
        x, y, phi = curve(t)
        u = np.concatenate(
            ([0.0], np.cumsum(np.hypot(np.diff(x), np.diff(y)) + reach * np.abs(np.diff(phi))))
        )
        count = max(2, math.ceil(u[-1] / step) + 1)
        t = np.interp(np.linspace(0.0, u[-1], count), u, t)
    return curve(t)


def _ellipse(a: float, b: float, *, step: float, reach: float) -> Trace:
    def curve(t: Floats) -> Trace:
        return a * np.cos(t), b * np.sin(t), np.arctan2(a * np.sin(t), b * np.cos(t))

    return _even(curve, np.linspace(0.0, HALF_PI, 2000), step=step, reach=reach)


def _superellipse(a: float, b: float, power: float, *, step: float, reach: float) -> Trace:
    def curve(t: Floats) -> Trace:
        # One half is led by y, the other by x: each runs smoothly where its own axis is crossed.
        low = np.clip(np.where(t <= 1.0, t, 2.0 - t), 0.0, 1.0) * 0.5 ** (1.0 / power)
        high = (1.0 - low**power) ** (1.0 / power)
        x = np.where(t <= 1.0, high, low)
        y = np.where(t <= 1.0, low, high)
        phi = np.arctan2(y ** (power - 1.0) / b, x ** (power - 1.0) / a)
        return a * x, b * y, phi

    return _even(curve, np.linspace(0.0, 2.0, 4000), step=step, reach=reach)


def _cushion(a: float, b: float, corner: float, bow: float, *, step: float, reach: float) -> Trace:
    if bow <= 1e-9:
        return join(
            line(a, 0.0, a, b - corner, step=step),
            arc(a - corner, b - corner, corner, 0.0, HALF_PI, step=step, reach=reach),
            line(a - corner, b, 0.0, b, step=step),
        )
    side = ((b - bow) ** 2 + bow**2) / (2 * bow)
    top = ((a - bow) ** 2 + bow**2) / (2 * bow)
    # The corner's circle touches the bowed side (centred on the x axis) and the bowed top from within.
    sx, ty = a - side, b - top
    near_side, near_top = side - corner, top - corner
    apart = math.hypot(sx, ty)
    if near_side <= 0 or near_top <= 0 or apart >= near_side + near_top or apart <= abs(near_side - near_top):
        raise BadInput("the corner radius does not fit between the bowed sides")
    along = (near_side**2 - near_top**2 + apart**2) / (2 * apart)
    across = math.sqrt(near_side**2 - along**2)
    ux, uy = -sx / apart, ty / apart
    cx, cy = max(
        ((sx + along * ux - s * across * uy, along * uy + s * across * ux) for s in (1.0, -1.0)),
        key=lambda point: point[0] + point[1],
    )
    first = math.atan2(cy, cx - sx)
    last = math.atan2(cy - ty, cx)
    if not 0.0 <= first <= last <= HALF_PI:
        raise BadInput("the corner radius does not fit between the bowed sides")
    return join(
        arc(sx, 0.0, side, 0.0, first, step=step, reach=reach),
        arc(cx, cy, corner, first, last, step=step, reach=reach),
        arc(0.0, ty, top, last, HALF_PI, step=step, reach=reach),
    )


def _tip(half_width: float, height: float, *, step: float, reach: float) -> Trace:
    """From the widest point on the x axis up an arc to a point on the y axis, and round that point."""
    radius = (half_width**2 + height**2) / (2 * half_width)
    cx = half_width - radius
    end = math.atan2(height, -cx)
    return join(
        arc(cx, 0.0, radius, 0.0, end, step=step, reach=reach),
        arc(0.0, height, 0.0, end, HALF_PI, step=step, reach=reach),
    )


def _downward(part: Trace) -> Trace:
    """The mirror image of a trace in the x axis, in order."""
    x, y, phi = part
    return x[::-1], -y[::-1], -phi[::-1]


def _leftward(part: Trace) -> Trace:
    """The mirror image of a trace in the y axis, in order."""
    x, y, phi = part
    return -x[::-1], y[::-1], math.pi - phi[::-1]


def _quarter(outline: Outline, a: float, b: float, *, step: float, reach: float) -> Trace | None:
    """The part in the first quarter of a cut that is alike on all four sides, or None."""
    match outline.cut:
        case "round":
            return arc(0.0, 0.0, a, 0.0, HALF_PI, step=step, reach=reach)
        case "oval":
            return _ellipse(a, b, step=step, reach=reach)
        case "superellipse":
            assert outline.exponent is not None
            return _superellipse(a, b, outline.exponent, step=step, reach=reach)
        case "cushion":
            assert outline.corner_radius_mm is not None and outline.side_bow_mm is not None
            return _cushion(a, b, outline.corner_radius_mm, outline.side_bow_mm, step=step, reach=reach)
        case "marquise":
            return _tip(a, b, step=step, reach=reach)
        case "emerald":
            assert outline.corner_mm is not None
            cut = outline.corner_mm
            flats = [line(a, 0.0, a, b - cut, step=step), line(a, b - cut, a - cut, b, step=step)]
            if cut == 0:
                flats.pop()
            flats.append(line(a - cut, b, 0.0, b, step=step))
            return _with_corners(flats, step=step, reach=reach)
        case "princess":
            flats = [line(a, 0.0, a, b, step=step), line(a, b, 0.0, b, step=step)]
            return _with_corners(flats, step=step, reach=reach)
    return None


def _with_corners(flats: list[Trace], *, step: float, reach: float) -> Trace:
    parts = [flats[0]]
    for before, after in pairwise(flats):
        x, y = float(after[0][0]), float(after[1][0])
        parts += [arc(x, y, 0.0, float(before[2][-1]), float(after[2][0]), step=step, reach=reach), after]
    return join(*parts)


def _polygon(points: tuple[tuple[float, float], ...], *, step: float, reach: float) -> Trace:
    corners = np.array(points)
    x, y = corners[:, 0], corners[:, 1]
    if float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1))) < 0:
        corners = corners[::-1]
    # Whatever corner the list starts with, the trace starts at the lowest one.
    corners = np.roll(corners, -int(np.lexsort((corners[:, 0], corners[:, 1]))[0]), axis=0)
    ahead = np.roll(corners, -1, axis=0)
    flats = [line(*corners[i], *ahead[i], step=step) for i in range(len(corners))]
    parts: list[Trace] = []
    phi = float(flats[0][2][0])
    for index, (px, py, normal) in enumerate(flats):
        if index:
            turn = (float(normal[0]) - phi + math.pi) % (2 * math.pi) - math.pi
            if turn > 0:
                parts.append(arc(float(px[0]), float(py[0]), 0.0, phi, phi + turn, step=step, reach=reach))
            phi += turn
        parts.append((px, py, np.full(len(px), phi)))
    turn = (float(flats[0][2][0]) - phi + math.pi) % (2 * math.pi) - math.pi
    if turn > 0:
        parts.append(
            arc(float(corners[0, 0]), float(corners[0, 1]), 0.0, phi, phi + turn, step=step, reach=reach)
        )
    return join(*parts)


def half_size(outline: Outline) -> tuple[float, float]:
    """Half the width and half the length, mm."""
    if outline.cut == "outline":
        assert outline.points_mm is not None
        points = np.array(outline.points_mm)
        spread = points.max(axis=0) - points.min(axis=0)
        return float(spread[0]) / 2, float(spread[1]) / 2
    if outline.cut == "round":
        assert outline.diameter_mm is not None
        return outline.diameter_mm / 2, outline.diameter_mm / 2
    assert outline.width_mm is not None and outline.length_mm is not None
    return outline.width_mm / 2, outline.length_mm / 2


def trace(outline: Outline, *, step: float, reach: float) -> Trace:
    """
    The closed girdle of *outline* from the -y axis anticlockwise (a polygon: from its lowest corner).

    Args:
        outline: What to trace.
        step: Spacing of the points, mm, measured on the parallel curve.
        reach: Distance of that parallel curve, mm.

    Raises:
        BadInput: the measures of the outline contradict each other.

    Source:
        exact-geometry
    """
    if outline.cut == "outline":
        assert outline.points_mm is not None
        return _polygon(outline.points_mm, step=step, reach=reach)
    a, b = half_size(outline)
    quarter = _quarter(outline, a, b, step=step, reach=reach)
    if quarter is not None:
        right = join(_downward(quarter), quarter)
    elif outline.cut == "pear":
        # The lower half is a half-circle on the widest line; the length runs from its foot to the point.
        right = join(
            arc(0.0, 0.0, a, -HALF_PI, 0.0, step=step, reach=reach),
            _tip(a, 2 * b - a, step=step, reach=reach),
        )
    else:
        lobe = 0.48 * a if outline.lobe_mm is None else outline.lobe_mm
        radius = a - lobe
        notch = math.pi - math.acos(min(1.0, lobe / radius))
        right = join(
            _downward(_tip(a, 2 * b - radius, step=step, reach=reach)),
            arc(lobe, 0.0, radius, 0.0, notch, step=step, reach=reach),
        )
    return join(right, _leftward(right))
