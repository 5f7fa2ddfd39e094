"""The stone turned so that its inclusions lie under claws: as it lies now, and turned; and as the setter lays it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gemcalc.drawing import dimension
from gemcalc.drawing.plan import SHOWN_MM, Face, open_marks, turned
from gemcalc.drawing.scene import Item, Path, Scene, beside, finish, label, line

LETTER = 0.62


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
    outline: Mapping[str, Any] | None = None,
) -> Scene:
    """
    Two plans side by side: the stone as it lies, and turned anticlockwise by *rotation_deg*.

    A mark in the open is a filled garnet dot, a mark under a claw an open dashed ring.

    Args:
        marks: ``r`` (0 centre to 1 girdle), ``angle_deg``, ``size`` (diameter, in the same unit as r).
        claws: ``angle_deg``, ``half_width_deg``, ``inner_r``.
        rotation_deg: Turn, degrees, anticlockwise.
        exposed: Places in *marks* of those in the open after the turn.
        exposed_now: The same before the turn; None to reckon it from the marks' middles.
        before, after, title: Words.
        outline: The stone's girdle; None for a round. A turn that its shape does not allow is not drawn
            sensibly: the outline stays where it is, and marks and facets turn inside it.

    Source: exact-geometry.
    """
    now = open_marks(marks, claws) if exposed_now is None else set(exposed_now)
    face = Face(outline)
    first = _plan(face, marks, claws, 0.0, now, before)
    second = _plan(face, marks, claws, rotation_deg, set(exposed), f"{after} {rotation_deg:.1f}°")
    described = (
        f"{len(marks)} inclusions: {len(now)} in the open as the stone lies, "
        f"{len(set(exposed))} after turning it {rotation_deg:.1f} degrees anticlockwise."
    )
    return beside((first, second), gap_mm=0.8, title=title, description=described)


def lie_view(
    *,
    outline: Mapping[str, Any],
    marks: Sequence[Mapping[str, Any]],
    claws: Sequence[Mapping[str, Any]],
    rotation_deg: float,
    exposed: Sequence[int] = (),
    title: str = "How the stone lies under its claws",
) -> Scene:
    """
    One plan for the setter: claws numbered clockwise from north, marks numbered as plotted, and two mark signs.

    The triangle outside the girdle is the ring's north; the arrow inside it with its *12* is the twelve o'clock
    of the plot, where it comes to lie.

    Args:
        outline: The stone's girdle.
        marks: As for :func:`turn_view`, in the order of their numbers.
        claws: As for :func:`turn_view`.
        rotation_deg: Turn, degrees, anticlockwise.
        exposed: Places in *marks* of those in the open.
        title: Words.

    Source: exact-geometry.
    """
    face, seen = Face(outline), set(exposed)
    items: list[Item] = [face.girdle(), face.facets(rotation_deg)]
    numbers: list[Item] = []
    for place, mark in enumerate(marks):
        items.append(face.mark(mark, rotation_deg, "mark" if place in seen else "mark-hidden"))
        # The number stands on the side of the middle, where neither the mark nor a claw lies over it.
        free = min([mark["r"] - mark["size"] / 2, *(claw["inner_r"] for claw in claws)])
        share = max(free - 0.75 * LETTER / face.radius(mark["angle_deg"]), 0.0)
        x, y = turned(*face.at(mark["angle_deg"], share), rotation_deg)
        numbers.append(label(str(place + 1), x, y, LETTER, kind="number", middle=True))
    for number, claw in enumerate(clockwise(claws), start=1):
        items.append(face.cover(claw))
        x, y = face.at(claw["angle_deg"], 1.06, 0.6 * LETTER)
        numbers.append(label(str(number), x, y, LETTER, kind="heading", middle=True))
    tip = 90.0 + rotation_deg
    inner, outer = face.at(tip, 0.66), face.at(tip, 0.97)
    shaft = line("axis", face.at(tip, 0.0), inner)
    left, right = face.at(tip + 7, 0.66), face.at(tip - 7, 0.66)
    items += [shaft, line("north", outer, left, right, closed=True)]
    numbers.append(label("12", *face.at(tip, 0.52), 0.85 * LETTER, kind="number", middle=True))
    top = face.at(90.0, 1.06)[1]
    items.append(dimension.north(0.0, top + 1.25 * LETTER, 0.6))
    numbers.append(
        label("north of the ring", 0.5, top + 1.4 * LETTER, 0.7 * LETTER, anchor="start", kind="note")
    )
    words = f"The plot's twelve o'clock {rotation_deg:.1f} degrees anticlockwise from the ring's north"
    return finish([*items, *numbers], title=title, description=words, margin=0.3, weight=0.9)


def clockwise(claws: Sequence[Mapping[str, Any]]) -> list[Mapping[str, Any]]:
    """
    The claws as the bench numbers them, clockwise from north.

    Args:
        claws: Things with ``angle_deg``, degrees anticlockwise from +x.

    Source: practice.
    """
    return sorted(claws, key=lambda claw: round((90.0 - claw["angle_deg"]) % 360, 6))


def _plan(
    face: Face,
    marks: Sequence[Mapping[str, Any]],
    claws: Sequence[Mapping[str, Any]],
    rotation: float,
    seen: set[int],
    words: str,
) -> Scene:
    items: list[Item] = [face.girdle(), face.facets(rotation)]
    items += [
        face.mark(mark, rotation, "mark" if place in seen else "mark-hidden")
        for place, mark in enumerate(marks)
    ]
    items += [face.cover(claw) for claw in claws]
    # The orientation mark turns with the stone, so that the eye can follow it.
    foot = face.radius(90.0 + rotation) + 0.25
    mark = dimension.north(0.0, foot, 0.55)
    items.append(Path("north", tuple((*turned(x, y, rotation), b) for x, y, b in mark.points), closed=True))
    reach_x, reach_y = (max(face.radius(degrees) for degrees in ends) for ends in ((0, 180), (90, 270)))
    items.append(label(words, 0.0, -reach_y - 0.25 - 1.6 * LETTER, LETTER, kind="heading"))
    # Both plans get the same sheet whatever way the mark points.
    wide, high = max(reach_x + 1.2, SHOWN_MM / 2.2), reach_y + 1.2
    return Scene(tuple(items), (-wide, -high - 0.5, wide, high), words, words, 0.9)
