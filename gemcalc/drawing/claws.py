"""Claws seen from above: pointed and filed in line with the facets, or round."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from gemcalc.drawing import shapes
from gemcalc.drawing.scene import Circle, Item, Path, line

Data = Mapping[str, Any]
FILED = 0.75
"""What filing leaves of a claw's wire over the stone, seen from above. Common practice, no source."""


def default_angles(data: Data) -> tuple[float, ...]:
    """
    Where claws usually stand round the cut, degrees anticlockwise from +x: at corners, tips and the notch.

    Args:
        data: The stone's outline.

    Source: practice.
    """
    cut = data["cut"]
    x, y = shapes.half_size(data)
    corner = math.degrees(math.atan2(y, x))
    corners = (corner, 180 - corner, 180 + corner, 360 - corner)
    if cut == "marquise":
        return (90.0, 270.0, 25.0, 155.0, 205.0, 335.0)
    if cut == "pear":
        return (90.0, 25.0, 155.0, 235.0, 305.0)
    if cut == "heart":
        return (270.0, 50.0, 130.0, 340.0, 200.0)
    if cut in ("princess", "emerald", "cushion", "superellipse"):
        return corners
    return (45.0, 135.0, 225.0, 315.0)


def claw_items(
    data: Data,
    angles: tuple[float, ...],
    *,
    shape: str = "pointed",
    kind: str = "claw",
    claw_mm: float | None = None,
) -> list[Item]:
    """
    One claw at each angle, over the girdle.

    Args:
        data: The stone's outline.
        angles: Degrees anticlockwise from +x, as seen from the origin.
        shape: pointed or round.
        kind: Kind of the claws' faces.
        claw_mm: Thickness of the claws' wire, mm, which is filed to some three quarters of it over the stone
            (common practice, no source); None for one that suits the stone.
    """
    size = min(max(0.115 * min(shapes.half_size(data)) * 2, 0.35), 0.85)
    wide, back, bulge = size, 0.2, 0.9
    if claw_mm is not None:
        # The shape below is 0.54 wide.
        size, wide, back, bulge = 0.8 * claw_mm, FILED * claw_mm / 0.54, 0.05, 0.5
    items: list[Item] = []
    for degrees in angles:
        x, y = shapes.edge(data, (0.0, 0.0), degrees)
        dx, dy = _outward(data, degrees)

        def at(out: float, side: float) -> tuple[float, float]:
            along, across = size * out, wide * side
            return x + along * dx - across * dy, y + along * dy + across * dx  # noqa: B023

        if shape == "round":
            items.append(
                Circle(kind, *at(-0.05, 0.0), 0.34 * size if claw_mm is None else FILED * claw_mm / 2)
            )
            continue
        points = [
            (*at(-0.95, 0), 0.0),
            (*at(-0.1, -0.27), 0.0),
            (*at(back, -0.2), bulge),
            (*at(back, 0.2), 0.0),
        ]
        items.append(Path(kind, (*points, (*at(-0.1, 0.27), 0.0)), closed=True))
        if kind == "claw":
            items.append(line("ridge", at(-0.8, 0), at(back + 0.04, 0)))
    return items


def _outward(data: Data, degrees: float) -> tuple[float, float]:
    """Direction in which a claw stands: square to a side, along the middle of a corner or tip."""
    (ax, ay), (bx, by) = (shapes.edge(data, (0.0, 0.0), degrees + off) for off in (-2.5, 2.5))
    length = math.hypot(bx - ax, by - ay)
    return (by - ay) / length, (ax - bx) / length
