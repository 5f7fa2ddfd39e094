"""What the plans of a plotted stone share: its outline at one width, its marks, and what claws cover of it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from gemcalc.drawing import shapes
from gemcalc.drawing.facets import facet_lines
from gemcalc.drawing.scene import Circle, Item, Lines, Path, Point, bulge_of, moved_item

SHOWN_MM = 8.0
"""Greatest width at which the stone is drawn: marks are given in shares of its radius, so any would do."""

STEPS = 12
"""Straight pieces of an edge that follows the outline of a stone that is no round."""


@dataclass(frozen=True)
class Face:
    """
    A stone from above about its own middle, its greatest width drawn as 8 mm.

    Args:
        outline: The girdle as an outline, mm; None for a round of any size.
    """

    outline: Mapping[str, Any] | None = None

    @cached_property
    def data(self) -> dict[str, Any]:
        """The outline at the drawn width."""
        if self.outline is None:
            return {"cut": "round", "diameter_mm": SHOWN_MM}
        share = SHOWN_MM / (2 * max(shapes.half_size(self.outline)))
        return {
            name: _times(value, share) if name.endswith("_mm") else value
            for name, value in self.outline.items()
        }

    @cached_property
    def middle(self) -> Point:
        """Middle of the drawn outline, from which directions are taken."""
        return shapes.middle(self.data)

    @property
    def is_round(self) -> bool:
        """Whether every direction is alike."""
        return bool(self.data["cut"] == "round")

    def radius(self, degrees: float) -> float:
        """From the middle to the girdle in a direction (degrees anticlockwise from +x), as drawn."""
        if self.is_round:
            return SHOWN_MM / 2
        x, y = shapes.edge(self.data, self.middle, degrees)
        return math.hypot(x - self.middle[0], y - self.middle[1])

    def at(self, degrees: float, share: float, out: float = 0.0) -> Point:
        """The point that lies *share* of the way to the girdle, and *out* mm farther."""
        far = self.radius(degrees) * share + out
        return far * math.cos(math.radians(degrees)), far * math.sin(math.radians(degrees))

    def girdle(self) -> Item:
        """The outline, about its middle."""
        return moved_item(shapes.outline_item(self.data, "girdle"), -self.middle[0], -self.middle[1])

    def facets(self, rotation: float) -> Lines:
        """The facets with the stone turned by *rotation*, degrees."""
        x0, y0 = self.middle
        return Lines(
            "facet",
            tuple(
                tuple(turned(x - x0, y - y0, rotation) for x, y in run) for run in facet_lines(self.data).runs
            ),
        )

    def mark(self, mark: Mapping[str, Any], rotation: float, kind: str) -> Circle:
        """One mark with the stone turned; its size is a share of the radius where it was plotted."""
        x, y = turned(*self.at(mark["angle_deg"], mark["r"]), rotation)
        return Circle(kind, x, y, max(self.radius(mark["angle_deg"]) * mark["size"] / 2, 0.05))

    def cover(self, claw: Mapping[str, Any]) -> Path:
        """What a claw covers: from its tip out to just past the girdle, along the outline."""
        low, high = (claw["angle_deg"] + side * claw["half_width_deg"] for side in (-1, 1))
        inner, outer = claw["inner_r"], 1.06
        if self.is_round:
            bulge = bulge_of(math.radians(high - low))
            return Path(
                "cover",
                (
                    (*self.at(low, outer), bulge),
                    (*self.at(high, outer), 0.0),
                    (*self.at(high, inner), -bulge),
                    (*self.at(low, inner), 0.0),
                ),
                closed=True,
            )
        along = [low + (high - low) * step / STEPS for step in range(STEPS + 1)]
        points = [self.at(degrees, outer) for degrees in along] + [
            self.at(degrees, inner) for degrees in along[::-1]
        ]
        return Path("cover", tuple((x, y, 0.0) for x, y in points), closed=True)


def turned(x: float, y: float, degrees: float) -> Point:
    """A point turned anticlockwise about the middle."""
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return cos * x - sin * y, sin * x + cos * y


def open_marks(marks: Sequence[Mapping[str, Any]], claws: Sequence[Mapping[str, Any]]) -> set[int]:
    """Places of the marks whose middles no claw covers, as the stone lies."""

    def covered(mark: Mapping[str, Any]) -> bool:
        for claw in claws:
            off = (mark["angle_deg"] - claw["angle_deg"] + 180) % 360 - 180
            if abs(off) <= claw["half_width_deg"] and mark["r"] >= claw["inner_r"]:
                return True
        return False

    return {place for place, mark in enumerate(marks) if not covered(mark)}


def _times(value: Any, share: float) -> Any:
    """A measure, or the points of a scan, at another size."""
    if isinstance(value, (int, float)):
        return value * share
    return [[x * share, y * share] for x, y in value]
