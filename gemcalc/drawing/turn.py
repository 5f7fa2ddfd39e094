"""The stone turned so that its inclusions lie under claws: as it lies now, and turned."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from gemcalc.drawing import dimension
from gemcalc.drawing.facets import facet_lines
from gemcalc.drawing.scene import Circle, Item, Lines, Path, Scene, beside, bulge_of, finish, label

SHOWN_MM = 8.0
"""Width at which the stone is drawn: marks are given in shares of its radius, so any would do."""


def turn_view(
    *,
    marks: Sequence[Mapping[str, Any]],
    claws: Sequence[Mapping[str, Any]],
    rotation_deg: float,
    exposed: Sequence[int] = (),
    exposed_now: Sequence[int] | None = None,
    before: str = "As it lies",
    after: str = "Turned",
    title: str = "Inclusions under claws",
) -> Scene:
    """
    Two round plans side by side: the stone as it lies, and turned anticlockwise by *rotation_deg*.

    A mark in the open is a filled garnet dot, a mark under a claw an open dashed ring.

    Args:
        marks: ``r`` (0 centre to 1 girdle), ``angle_deg``, ``size`` (diameter, in the same unit as r).
        claws: ``angle_deg``, ``half_width_deg``, ``inner_r``.
        rotation_deg: Turn, degrees, anticlockwise.
        exposed: Places in *marks* of those in the open after the turn.
        exposed_now: The same before the turn; None to reckon it from the marks' middles.
        before, after, title: Words.

    Source: exact-geometry.
    """
    now = _open_marks(marks, claws) if exposed_now is None else set(exposed_now)
    first = _plan(marks, claws, 0.0, now, before)
    second = _plan(marks, claws, rotation_deg, set(exposed), f"{after} {rotation_deg:.1f}°")
    described = (
        f"{len(marks)} inclusions: {len(now)} in the open as the stone lies, "
        f"{len(set(exposed))} after turning it {rotation_deg:.1f} degrees anticlockwise."
    )
    return beside((first, second), gap_mm=0.8, title=title, description=described)


def _plan(
    marks: Sequence[Mapping[str, Any]],
    claws: Sequence[Mapping[str, Any]],
    rotation: float,
    seen: set[int],
    words: str,
) -> Scene:
    radius = SHOWN_MM / 2
    items: list[Item] = [Circle("girdle", 0.0, 0.0, radius)]
    facets = facet_lines({"cut": "round", "diameter_mm": SHOWN_MM})
    items.append(Lines("facet", tuple(tuple(_turned(x, y, rotation) for x, y in run) for run in facets.runs)))
    for place, mark in enumerate(marks):
        turn = math.radians(mark["angle_deg"] + rotation)
        x, y = radius * mark["r"] * math.cos(turn), radius * mark["r"] * math.sin(turn)
        kind = "mark" if place in seen else "mark-hidden"
        items.append(Circle(kind, x, y, max(radius * mark["size"] / 2, 0.05)))
    items += [_cover(claw, radius) for claw in claws]
    size = 0.62
    # The orientation mark turns with the stone, so that the eye can follow it.
    north = dimension.north(0.0, radius + 0.25, 0.55)
    items.append(Path("north", tuple((*_turned(x, y, rotation), b) for x, y, b in north.points), closed=True))
    items.append(label(words, 0.0, -radius - 1.6 * size, size, kind="heading"))
    scene = finish(items, title=words, description=words, margin=0.3)
    # Both plans get the same sheet whatever way the mark points.
    reach = radius + 1.2
    return Scene(scene.items, (-reach, -reach - 0.25, reach, reach), words, words, 0.9)


def _turned(x: float, y: float, degrees: float) -> tuple[float, float]:
    cos, sin = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    return cos * x - sin * y, sin * x + cos * y


def _cover(claw: Mapping[str, Any], radius: float) -> Path:
    """The part of the plan that a claw covers: an annular sector out to just past the girdle."""
    low, high = (math.radians(claw["angle_deg"] + s * claw["half_width_deg"]) for s in (-1, 1))
    inner, outer = radius * claw["inner_r"], radius * 1.06
    bulge = bulge_of(high - low)
    return Path(
        "cover",
        (
            (outer * math.cos(low), outer * math.sin(low), bulge),
            (outer * math.cos(high), outer * math.sin(high), 0.0),
            (inner * math.cos(high), inner * math.sin(high), -bulge),
            (inner * math.cos(low), inner * math.sin(low), 0.0),
        ),
        closed=True,
    )


def _open_marks(marks: Sequence[Mapping[str, Any]], claws: Sequence[Mapping[str, Any]]) -> set[int]:
    def covered(mark: Mapping[str, Any]) -> bool:
        for claw in claws:
            off = (mark["angle_deg"] - claw["angle_deg"] + 180) % 360 - 180
            if abs(off) <= claw["half_width_deg"] and mark["r"] >= claw["inner_r"]:
                return True
        return False

    return {place for place, mark in enumerate(marks) if not covered(mark)}
