"""Drawings beside the figures: to scale, in the one hand of all drawings."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from gemcalc.drawing import Scene, StoneProfile, TopOptions, beside, shapes, top_view
from gemcalc.drawing.dimension import across, check_bar, upright
from gemcalc.drawing.scene import Circle, Item, Lines, Path, bounds, finish, label, line
from gemcalc.errors import BadInput

ALONE = TopOptions(
    numbers=False, beads=False, gaps=False, target=False, sizes=False, overall=False, north=False
)
"""A stone by itself, with its own measures."""

CORNER_SHARE = {"asscher": 0.28, "radiant": 0.16, "emerald": 0.18, "baguette": 0.0}
"""Cut corner as a share of the width, for drawing only. Source: practice."""


def outline_of(cut: str, length_mm: float, width_mm: float) -> dict[str, Any]:
    """
    An ordinary outline for one of the twelve words for cuts, mm.

    Good enough to draw a stone by: a real one is measured or scanned.

    >>> outline_of("round", 6.5, 6.4)
    {'cut': 'oval', 'length_mm': 6.5, 'width_mm': 6.4}
    """
    size = {"length_mm": length_mm, "width_mm": width_mm}
    if cut == "round":
        even = abs(length_mm - width_mm) < 1e-9
        return {"cut": "round", "diameter_mm": length_mm} if even else {"cut": "oval", **size}
    if cut in CORNER_SHARE:
        corner = CORNER_SHARE[cut] * min(length_mm, width_mm)
        return (
            {"cut": "emerald", **size, "corner_mm": round(corner, 4)}
            if corner
            else {"cut": "princess", **size}
        )
    if cut == "cushion":
        corner = 0.28 * min(length_mm, width_mm)
        return {
            "cut": "cushion",
            **size,
            "corner_radius_mm": round(corner, 4),
            "side_bow_mm": round(corner / 8, 4),
        }
    if cut == "trilliant":
        return {"cut": "outline", "points_mm": _trilliant(length_mm, width_mm)}
    return {"cut": cut, **size}


def _trilliant(length: float, width: float) -> list[list[float]]:
    """Three bowed sides, the point down the length, as large as the measures say."""
    corners = [(-0.5, 0.5), (0.0, -0.5), (0.5, 0.5)]
    points = []
    for (x, y), (u, v) in zip(corners, corners[1:] + corners[:1], strict=True):
        for step in range(16):
            share = step / 16
            bow = 0.28 * share * (1 - share)
            px, py = x + share * (u - x), y + share * (v - y)
            points.append((px + bow * (y - v) * -1, py + bow * (u - x) * -1))
    left, right = min(p[0] for p in points), max(p[0] for p in points)
    low, high = min(p[1] for p in points), max(p[1] for p in points)
    return [
        [
            round(width * ((x - left) / (right - left) - 0.5), 4),
            round(length * ((y - low) / (high - low) - 0.5), 4),
        ]
        for x, y in points
    ]


def stone(cut: str, length_mm: float, width_mm: float, *, depth_mm: float | None = None,
          table_pct: float | None = None) -> Scene:  # fmt: skip
    """A stone from above and, where its depth is known, from the side."""
    case = {"centre": outline_of(cut, length_mm, width_mm)}
    words = f"{cut.capitalize()} {length_mm:.2f} × {width_mm:.2f} mm"
    above = top_view(case, None, claws=(), options=ALONE, title=words)
    if depth_mm is None:
        return above
    try:
        scene = _profile(width_mm, depth_mm, table_pct or 57.0)
    except BadInput:
        return above
    return beside((above, scene), gap_mm=0.12 * max(length_mm, width_mm), title=words, description=words)


def _profile(width: float, depth: float, table_pct: float) -> Scene:
    """The stone's outline from the side with crown, girdle and pavilion, its total depth dimensioned."""
    crown, girdle, pavilion = StoneProfile(depth_mm=depth, table_pct=table_pct).parts(width_mm=width)
    half, table = width / 2, width * table_pct / 200
    rim = girdle / 2
    points = [(-table, rim + crown), (table, rim + crown), (half, rim), (half, -rim), (0.0, -rim - pavilion),
              (-half, -rim), (-half, rim)]  # fmt: skip
    items: list[Item] = [line("girdle", *points, closed=True)]
    items.append(Lines("facet", (((-half, rim), (half, rim)), ((-half, -rim), (half, -rim)))))
    size = min(max(0.045 * width + 0.14, 0.36), 1.2)
    items += upright(-rim - pavilion, rim + crown, half + 1.2 * size, f"{depth:.2f}", size,
                     from_x=(0.2 * size, table + 0.2 * size))  # fmt: skip
    items += across(
        -half, half, rim + crown + 1.2 * size, f"{width:.2f}", size, from_y=(rim, rim), above=True
    )
    return finish(items, title="From the side", description=f"Depth {depth:.2f} mm", margin=0.5 * size,
                  weight=max(0.4, width / 9.3))  # fmt: skip


def within(
    outline: Mapping[str, Any], low: Mapping[str, Any], high: Mapping[str, Any], *, title: str
) -> Scene:
    """An outline with its least and greatest dashed round it."""
    items: list[Item] = [shapes.outline_item(outline, "girdle")]
    items += [shapes.outline_item(one, "target") for one in (low, high)]
    box = bounds(items)
    inner = bounds(items[:1])
    size = min(max(0.05 * (box[2] - box[0]) + 0.14, 0.36), 1.2)
    items += across(inner[0], inner[2], box[3] + 0.9 * size, f"{inner[2] - inner[0]:.2f}", size,
                    from_y=(0.0, 0.0), above=True)  # fmt: skip
    items += upright(
        inner[1], inner[3], box[2] + 0.9 * size, f"{inner[3] - inner[1]:.2f}", size, from_x=(0.0, 0.0)
    )
    if box[2] - box[0] > 4:  # beside a small stone the bar would be all that one sees
        items += check_bar((box[0] + box[2]) / 2 - 5.0, box[1] - 1.8 * size, size)
    return finish(items, title=title, description=title, margin=0.6 * size,
                  weight=max(0.4, (box[2] - box[0]) / 9.3))  # fmt: skip


def finger(diameter_mm: float, *, thickness_mm: float = 1.6) -> Scene:
    """A ring's inside, to scale."""
    inner = diameter_mm / 2
    items: list[Item] = [Circle("metal", 0.0, 0.0, inner + thickness_mm), Circle("hole", 0.0, 0.0, inner)]
    items += across(-inner, inner, 0.0, f"Ø {diameter_mm:.2f}", 1.1)
    items += check_bar(-5.0, -inner - thickness_mm - 2.4, 0.9)
    words = f"Inside diameter {diameter_mm:.2f} mm"
    return finish(items, title=words, description=words, margin=0.8, weight=1.6)


def ring_of(centre_mm: float, melee_mm: float, clearance_mm: float, count: int) -> tuple[dict, dict]:
    """Case and layout of equal stones spread evenly, for :func:`gemcalc.drawing.top_view`."""
    radius = centre_mm / 2 + clearance_mm + melee_mm / 2
    turn = 2 * math.pi / count
    stones = [
        {
            "x_mm": radius * math.sin(i * turn),
            "y_mm": radius * math.cos(i * turn),
            "diameter_mm": melee_mm,
            "row": 1,
        }
        for i in range(count)
    ]
    return {"centre": {"cut": "round", "diameter_mm": centre_mm}}, {"stones": stones, "beads": []}


def melee(diameter_mm: float, low_mm: float, high_mm: float) -> Scene:
    """One stone between the holes of its two sieves."""
    circles = [{"cut": "round", "diameter_mm": d} for d in (diameter_mm, low_mm, high_mm)]
    title = f"Ø {diameter_mm:.2f} mm, its sieve {low_mm:.2f} to {high_mm:.2f}"
    return within(circles[0], circles[1], circles[2], title=title)


PARTS = ("metal", "hole", "gap-right", "gap-wide", "gap-close")


def bars(rows: Sequence[tuple[str, float, str, str]], *, title: str) -> Scene:
    """
    Bars of one scale.

    Args:
        rows: Words, amount, amount in words, kind (one of PARTS).
        title: Words for the drawing.
    """
    most = max((amount for _, amount, _, _ in rows), default=1.0) or 1.0
    items: list[Item] = []
    for place, (words, amount, written, kind) in enumerate(rows):
        y = -place * 2.3
        end = max(20 * amount / most, 0.06)
        items.append(line(kind, (0.0, y), (end, y), (end, y + 0.9), (0.0, y + 0.9), closed=True))
        if kind.startswith("gap"):
            items.append(line("metal-edge", (0.0, y), (end, y), (end, y + 0.9), (0.0, y + 0.9), closed=True))
        items.append(label(words, 0.0, y + 1.2, 0.78, anchor="start", kind="note"))
        items.append(label(written, end + 0.4, y + 0.45, 0.84, anchor="start", kind="number", middle=True))
    said = "; ".join(f"{words} {written}" for words, _, written, _ in rows)
    return finish(items, title=title, description=said, margin=0.5, weight=1.4)


def cubes(rows: Sequence[tuple[str, float]], *, title: str) -> Scene:
    """
    Cubes side by side at one scale, seen from the front: the same mass in different metals.

    Args:
        rows: Words and volume, mm3.
        title: Words for the drawing.
    """
    items: list[Item] = []
    x = 0.0
    for words, volume in rows:
        side = volume ** (1 / 3)
        back = 0.32 * side
        items.append(line("metal", (x, 0.0), (x + side, 0.0), (x + side, side), (x, side), closed=True))
        lid = ((x, side), (x + back, side + back), (x + side + back, side + back), (x + side, side))
        flank = ((x + side, 0.0), (x + side + back, back), (x + side + back, side + back), (x + side, side))
        items += [line("metal", *lid, closed=True), line("metal", *flank, closed=True)]
        size = 0.04 * max(one ** (1 / 3) for _, one in rows) + 0.5
        items += across(x, x + side, -0.9 * size, f"{side:.2f}", size)
        items.append(label(words, x + side / 2, -3.4 * size, size, kind="note"))
        x += side + back + max(1.2, 0.54 * size * len(words) - side)
    return finish(items, title=title, description=title, margin=0.6, weight=0.9)


def girdle_over(
    outline_mm: Sequence[Sequence[float]],
    points_mm: Sequence[Sequence[float]],
    outliers: set[int],
    *,
    most: int = 1500,
) -> Scene:
    """A fitted girdle over the points it was fitted to: those it follows as rings, those left out filled."""
    step = max(1, len(points_mm) // most)
    items: list[Item] = [Path("girdle", tuple((x, y, 0.0) for x, y in outline_mm), closed=True)]
    box = bounds(items)
    across_mm = max(box[2] - box[0], box[3] - box[1])
    size = min(max(0.05 * across_mm + 0.14, 0.36), 1.2)
    reach, middle = 0.9 * across_mm, ((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    kept: list[Item] = []
    for place, (x, y) in enumerate(points_mm):
        if place in outliers and math.hypot(x - middle[0], y - middle[1]) < reach:
            kept.append(Circle("mark", x, y, 0.006 * across_mm))
        elif place not in outliers and place % step == 0:
            kept.append(Circle("mark-hidden", x, y, 0.005 * across_mm))
    items += kept
    left, bottom, right, _ = bounds(items)
    items += check_bar((left + right) / 2 - 5.0, bottom - 1.8 * size, size)
    words = f"Fitted girdle over {len(points_mm)} points"
    return finish(items, title=words, description=f"{words}, {len(outliers)} of them left out.", margin=0.6 * size,
                  weight=max(0.35, across_mm / 12))  # fmt: skip
