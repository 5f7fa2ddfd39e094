"""The whole ring on one sheet: from above, from the front, from the side, and its sections."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gemcalc.drawing import dimension
from gemcalc.drawing.profile import HeadProfile, StoneProfile
from gemcalc.drawing.ring import Shank, ring_front, section
from gemcalc.drawing.scene import WIDE, Box, Item, Scene, bounds, finish, label, moved
from gemcalc.drawing.side import side_view
from gemcalc.drawing.top import top_view
from gemcalc.errors import in_range

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
        top_view(
            case, layout, claws=claws, letter_mm=LETTER_MM, claw_mm=setting.claw_mm if setting else None
        ),
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


def paper_rule(*, long_mm: int = 50, letter_mm: float = 3.0) -> Scene:
    """
    A bar for paper, exactly so long when it is drawn at true size: a printer that shrinks the page shrinks it too.

    Args:
        long_mm: Its length, mm, from 10 to 100.
        letter_mm: Size of its letters, mm.

    Raises:
        OutOfRange: it is to be shorter or longer.

    Source: exact-geometry.
    """
    in_range(field="long_mm", value=long_mm, low=10, high=100)
    items = dimension.check_bar(0.0, 0.0, letter_mm, long=long_mm, step=10)
    return finish(
        items,
        title=f"Bar of {long_mm} mm",
        description=f"{long_mm} mm long on a page that was printed at its true size.",
        margin=0.5,
        weight=1.0,
    )


def signed(scene: Scene, words: Sequence[str], *, letter_mm: float = LETTER_MM) -> Scene:
    """
    The drawing with lines of words under it: what it is, of whom, and its fingerprint.

    Args:
        scene: The drawing.
        words: The lines.
        letter_mm: Size of the letters, mm.
    """
    left, base, right, top = scene.box
    items: list[Item] = list(scene.items)
    for place, text in enumerate(words, start=1):
        items.append(
            label(text, left, base - 1.6 * letter_mm * place, letter_mm, anchor="start", kind="heading")
        )
    low = base - 1.6 * letter_mm * (len(words) + 1)
    wide = max([right, *(left + WIDE * len(text) * letter_mm for text in words)])
    return Scene(tuple(items), (left, low, wide, top), scene.title, scene.description, scene.weight)


def _headed(view: Scene, word: str) -> Scene:
    """The view on a sheet of its own with a heading over its upper left corner."""
    size = 1.15 * LETTER_MM
    left, _, _, top = bounds(view.items)
    items = (*view.items, label(word, left, top + 1.1 * size, size, anchor="start", kind="heading"))
    margin = 0.6 * LETTER_MM
    low, base, high, head = bounds(items)
    return Scene(items, (low - margin, base - margin, high + margin, head + margin), word, "", view.weight)
