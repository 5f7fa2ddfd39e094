"""The whole ring on one sheet: from above, from the front, from the side, and its sections."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gemcalc.drawing.profile import HeadProfile, StoneProfile
from gemcalc.drawing.ring import Shank, ring_front, section
from gemcalc.drawing.scene import Box, Item, Scene, bounds, label, moved
from gemcalc.drawing.side import side_view
from gemcalc.drawing.top import top_view

LETTER_MM = 0.62
"""Letters on a sheet that is printed four or five times the true size: 2.5 to 3 mm tall."""

WORDS = ("From above", "Front", "Side", "Section of the shank")


def ring_sheet(
    case: Mapping[str, Any],
    layout: Mapping[str, Any] | None,
    *,
    stone: StoneProfile,
    shank: Shank,
    setting: HeadProfile | None = None,
    claws: Sequence[float] | None = None,
    words: tuple[str, str, str, str] = WORDS,
    title: str = "Drawing of the ring",
) -> Scene:
    """
    Top view, front view, side view and sections at one scale, with one size of letters, mm.

    Args:
        case, layout: The halo's case and its layout (None for a stone without a halo).
        stone: Measures of the stone from the side.
        shank: Measures of the shank.
        setting: Measures of the head; None takes the usual ones.
        claws: Angles of the claws, degrees anticlockwise from +x; None takes the usual ones.
        words: Headings of the four views.
        title: Words for the drawing.

    Raises:
        BadInput: crown and girdle leave no pavilion, or there is no such profile.
        OutOfRange: a measure is outside its range.

    Source: practice.
    """
    views = (
        top_view(case, layout, claws=claws, letter_mm=LETTER_MM),
        ring_front(case, layout, shank=shank, stone=stone, setting=setting, claws=claws, letter_mm=LETTER_MM),
        side_view(case, layout, stone=stone, setting=setting, seen="side", claws=claws, letter_mm=LETTER_MM),
        section(shank=shank, letter_mm=LETTER_MM),
    )
    above, front, side, cut = (_headed(view, word) for view, word in zip(views, words, strict=True))
    gap = 2.5 * LETTER_MM
    # From above and the side lie over the front and the section; each column is as wide as its wider view.
    first = max(above.width_mm, front.width_mm)
    second = max(side.width_mm, cut.width_mm)
    upper = max(above.height_mm, side.height_mm)
    lower = max(front.height_mm, cut.height_mm)
    places = (
        (above, 0.0, 0.0),
        (side, first + gap, 0.0),
        (front, 0.0, -upper - gap),
        (cut, first + gap, -upper - gap),
    )
    items: list[Item] = []
    for view, x, y in places:
        items.extend(moved(view, x - view.box[0], y - view.box[3]).items)
    box: Box = (0.0, -upper - gap - lower, first + gap + second, 0.0)
    described = " ".join(view.description for view in views)
    return Scene(tuple(items), box, title, described, max(0.8, min(view.weight for view in views[:3])))


def _headed(view: Scene, word: str) -> Scene:
    """The view on a sheet of its own with a heading over its upper left corner."""
    size = 1.15 * LETTER_MM
    left, _, _, top = bounds(view.items)
    items = (*view.items, label(word, left, top + 1.1 * size, size, anchor="start", kind="heading"))
    margin = 0.6 * LETTER_MM
    low, base, high, head = bounds(items)
    return Scene(items, (low - margin, base - margin, high + margin, head + margin), word, "", view.weight)
