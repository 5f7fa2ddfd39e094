"""What is measured on a layout before it is judged: rows in order, gaps, distances to the outlines (mm)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from gemcalc.halo.check import bare, outlines

Floats = npt.NDArray[np.float64]
Whole = npt.NDArray[np.int64]


@dataclass(frozen=True)
class Row:
    """
    One row of stones in its order round the centre.

    Args:
        members: Places of the row's stones in the layout's list, anticlockwise.
        polygon: The polygon through their middles.
        gaps: Gap from each member to the next, mm; negative where they overlap.
        steps: Difference in diameter from each member to the next, mm.
    """

    members: Whole
    polygon: shapely.Polygon
    gaps: Floats
    steps: Floats


@dataclass(frozen=True)
class Measured:
    """A layout with everything about it that the rules ask for."""

    centre: outlines.Outline
    target: outlines.Outline | None
    at: Floats
    radius: Floats
    row: Whole
    rows: dict[int, Row]
    apart: Floats
    from_centre: Floats
    within_target: Floats
    beads: Floats

    @property
    def outer(self) -> Row:
        """The outermost row."""
        return self.rows[max(self.rows)]

    @cached_property
    def bare_spot(self) -> tuple[float, float, float]:
        """Middle and radius of the largest circle that fits into the bare space, mm."""
        return bare.largest_circle(self)

    @property
    def bare_radius_mm(self) -> float:
        """Radius of the largest circle that fits into the bare space, mm."""
        return self.bare_spot[2]


def readable(*, case: Mapping[str, Any], layout: Mapping[str, Any]) -> str | None:
    """
    Why a layout cannot be measured at all, in words, or None when it can.

    Args:
        case: The case it answers.
        layout: The layout.
    """
    rows = int(case.get("rows") or 1)
    stones, beads = layout.get("stones"), layout.get("beads")
    if not isinstance(stones, list | tuple) or not isinstance(beads, list | tuple):
        return "stones and beads must be lists"
    for name, things, keys in (
        ("stone", stones, ("x_mm", "y_mm", "diameter_mm")),
        ("bead", beads, ("x_mm", "y_mm", "radius_mm")),
    ):
        for place, thing in enumerate(things, start=1):
            values = [thing.get(key) for key in keys]
            if not all(_finite(value) for value in values):
                return f"{name} {place} has a measure that is not a number"
            if values[2] <= 0:
                return f"{name} {place} has no positive size"
    found = [stone.get("row") for stone in stones]
    if any(number not in range(1, rows + 1) for number in found):
        return f"a stone stands in a row that is not one of {rows}"
    for number in range(1, rows + 1):
        if found.count(number) < 3:
            return f"row {number} has fewer than 3 stones"
    return None


def _finite(value: object) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)


def measure(*, case: Mapping[str, Any], layout: Mapping[str, Any]) -> Measured:
    """
    Measure a layout that is :func:`readable`.

    Args:
        case: The case it answers.
        layout: The layout.
    """
    stones = layout["stones"]
    at = np.array([[stone["x_mm"], stone["y_mm"]] for stone in stones], dtype=float)
    radius = np.array([stone["diameter_mm"] for stone in stones], dtype=float) / 2
    row = np.array([stone["row"] for stone in stones], dtype=np.int64)
    beads = np.array([[b["x_mm"], b["y_mm"], b["radius_mm"]] for b in layout["beads"]], dtype=float)
    centre = outlines.outline(case["centre"])
    target = outlines.outline(case["target"]) if case.get("target") else None
    apart = np.hypot(at[:, None, 0] - at[None, :, 0], at[:, None, 1] - at[None, :, 1])
    apart = apart - radius[:, None] - radius[None, :]
    rows = {
        int(number): _row(number=int(number), centre=centre, at=at, radius=radius, row=row)
        for number in sorted(set(row.tolist()))
    }
    return Measured(
        centre=centre,
        target=target,
        at=at,
        radius=radius,
        row=row,
        rows=rows,
        apart=apart,
        from_centre=centre.signed(at) - radius,
        within_target=-target.signed(at) - radius if target else np.full(len(at), np.nan),
        beads=beads.reshape(-1, 3),
    )


def _row(*, number: int, centre: outlines.Outline, at: Floats, radius: Floats, row: Whole) -> Row:
    members = np.flatnonzero(row == number)
    points = at[members]
    # Stones are put in order along the path that runs round the centre at their own mean distance,
    # so that neither the order of the list nor a dent in the outline can mislead.
    away = float(np.maximum(centre.signed(points), 0.05).mean())
    path = centre.plain.buffer(away, quad_segs=24).exterior
    order = shapely.line_locate_point(path, shapely.points(points))
    if not path.is_ccw:
        order = -order
    members = members[np.argsort(order, kind="stable")]
    after = np.roll(members, -1)
    between = np.hypot(*(at[after] - at[members]).T)
    return Row(
        members=members,
        polygon=shapely.Polygon(at[members]),
        gaps=between - radius[after] - radius[members],
        steps=2 * np.abs(radius[after] - radius[members]),
    )
