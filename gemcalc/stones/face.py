"""Area of a stone seen from above: how large it looks."""

from __future__ import annotations

import math

from gemcalc.errors import BadInput, in_range


def face_area_mm2(*, cut: str, length_mm: float, width_mm: float, corner_mm: float = 0.0) -> float:
    """
    Area inside the girdle seen from above, mm2.

    Round and oval: ellipse. Marquise: two equal arcs. Pear: half-circle below, two arcs tangent to it above.
    Emerald, asscher, radiant: rectangle with its corners cut at 45 degrees.
    Cushion: rectangle with rounded corners and straight sides. Princess and baguette: rectangle.

    Args:
        cut: One of those words.
        length_mm: Length, mm, from 0.3 to 100.
        width_mm: Width, mm, from 0.3 to 100, not above the length.
        corner_mm: Corner along each side (cut corners) or its radius (cushion), mm, from 0 to half the width.

    Returns:
        The area, mm2, exact for these outlines. Real outlines bow and differ by some per cent.

    Raises:
        BadInput: the outline of that cut is not one of these, or the width is above the length.
        OutOfRange: a measure is out of range.

    Source:
        exact-geometry, shapely

    >>> face_area_mm2(cut="round", length_mm=6.5, width_mm=6.5)
    33.183
    """
    in_range(field="length_mm", value=length_mm, low=0.3, high=100.0)
    in_range(field="width_mm", value=width_mm, low=0.3, high=100.0)
    if width_mm > length_mm:
        raise BadInput("must not be above the length", field="width_mm")
    in_range(field="corner_mm", value=corner_mm, low=0.0, high=width_mm / 2)
    if cut in ("round", "oval"):
        return math.pi * length_mm * width_mm / 4
    if cut == "marquise":
        return 4 * _half_lens_mm2(reach_mm=length_mm / 2, half_width_mm=width_mm / 2)
    if cut == "pear":
        half = width_mm / 2
        return math.pi * half**2 / 2 + 2 * _half_lens_mm2(reach_mm=length_mm - half, half_width_mm=half)
    if cut in ("emerald", "asscher", "radiant"):
        return length_mm * width_mm - 2 * corner_mm**2
    if cut == "cushion":
        return length_mm * width_mm - (4 - math.pi) * corner_mm**2
    if cut in ("princess", "baguette"):
        return length_mm * width_mm
    raise BadInput("has no outline here: choose another cut", field="cut")


def _half_lens_mm2(*, reach_mm: float, half_width_mm: float) -> float:
    """Area between an axis and an arc that starts upright beside it and meets it at its reach."""
    radius = (half_width_mm**2 + reach_mm**2) / (2 * half_width_mm)
    angle = math.atan2(reach_mm, radius - half_width_mm)
    return (radius**2 * angle - (radius - half_width_mm) * reach_mm) / 2


def same_face_round_mm(*, area_mm2: float) -> float:
    """
    Diameter of the round that looks as large, mm.

    Args:
        area_mm2: Area seen from above, mm2, from 0.05 to 10000.

    Returns:
        The diameter of the circle of that area, mm, exact.

    Raises:
        OutOfRange: the area is out of range.

    Source:
        exact-geometry

    >>> same_face_round_mm(area_mm2=33.183)
    6.50
    """
    in_range(field="area_mm2", value=area_mm2, low=0.05, high=10_000.0)
    return 2 * math.sqrt(area_mm2 / math.pi)
