"""A drawing at true size on a screen: how many CSS pixels a millimetre takes is the reader's to say."""

from __future__ import annotations

import math
from dataclasses import dataclass

from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import gettext as _

from commissions.design import drawings
from commissions.design.comparing import size_words
from commissions.design.models import Revision
from gemcalc import drawing
from gemcalc.drawing.scene import Scene, finish

CSS_PX_PER_MM = 96 / 25.4
"""What a browser takes a millimetre for where nobody has measured: seldom true. Source: W3C, CSS Values, absolute lengths."""
LEAST, MOST = 2.0, 12.0

CARD_WIDTH_MM, CARD_HEIGHT_MM, CARD_CORNER_MM = 53.98, 85.60, 3.18
"""A bank card held upright: ISO/IEC 7810, ID-1, nominal."""
BAR_MM = 50

WRITTEN = {"dim", "dimt", "extension", "axis", "note", "number", "north", "bar", "barless"}
"""What belongs to a dimensioned drawing and would only hide a ring at its true size."""


@dataclass(frozen=True, kw_only=True)
class Shown:
    """One shape at true size, with its words."""

    svg: SafeString
    words: str


def factor(*, asked: str, measured: str = "", step: str = "") -> float:
    """
    CSS pixels per mm from what was asked for, corrected by what a ruler says the 50 mm bar measures.

    Whatever cannot be read counts as not said; the answer lies within what screens have.
    """
    value = _number(asked) or CSS_PX_PER_MM
    found = _number(measured)
    if found:
        value *= BAR_MM / found
    value += {"less": -0.02, "more": 0.02}.get(step, 0.0)
    return round(min(max(value, LEAST), MOST), 4)


def _number(text: str) -> float | None:
    try:
        value = float(text.strip().replace(",", "."))
    except ValueError:
        return None
    return value if math.isfinite(value) and value > 0 else None


def bare(scene: Scene, title: str) -> Scene:
    """The scene without anything written on it, close about the ring."""
    items = [item for item in scene.items if item.kind not in WRITTEN]
    return finish(items, title=title, description="", margin=0.3, weight=scene.weight)


def ring_at(revision: Revision, *, px_per_mm: float) -> list[Shown]:
    """The ring from above and from the front, and the circle its inside is."""
    across = revision.parameters["circumference_mm"] / math.pi
    above = bare(drawings.top(revision, variant="client"), _("From above, true size"))
    front = bare(drawings.front(revision), _("From the front, true size"))
    circle = (
        f'<circle cx="0" cy="0" r="{across / 2:.3f}" fill="none" stroke="currentColor" stroke-width="0.25"/>'
    )
    return [
        Shown(svg=_scene(above, px_per_mm), words=_("From above")),
        Shown(svg=_scene(front, px_per_mm), words=_("From the front")),
        Shown(
            svg=_sized(
                circle, box=(-across / 2 - 0.3, -across / 2 - 0.3, across + 0.6, across + 0.6),
                px_per_mm=px_per_mm, title=_("The inside of the ring, true size"),
            ),
            words=size_words(revision.parameters["circumference_mm"]),
        ),
    ]  # fmt: skip


def card(*, px_per_mm: float) -> SafeString:
    """The outline of a bank card, upright."""
    shape = (
        f'<rect x="0.15" y="0.15" width="{CARD_WIDTH_MM - 0.3:.2f}" height="{CARD_HEIGHT_MM - 0.3:.2f}" '
        f'rx="{CARD_CORNER_MM}" fill="none" stroke="currentColor" stroke-width="0.3"/>'
        f'<text class="true-size-words" x="{CARD_WIDTH_MM / 2}" y="5.5" text-anchor="middle">53.98 mm</text>'
        f'<text class="true-size-words" x="3" y="{CARD_HEIGHT_MM / 2}">85.60 mm</text>'
    )
    box = (0.0, 0.0, CARD_WIDTH_MM, CARD_HEIGHT_MM)
    return _sized(shape, box=box, px_per_mm=px_per_mm, title=_("Outline of a bank card"))


def bar(*, px_per_mm: float) -> SafeString:
    """A bar of 50 mm with a line at every millimetre."""
    lines = "".join(
        f'<path d="M{mm} 6V{6 - (4 if mm % 10 == 0 else 2.6 if mm % 5 == 0 else 1.6)}"/>'
        for mm in range(BAR_MM + 1)
    )
    shape = f'<g fill="none" stroke="currentColor" stroke-width="0.15"><path d="M0 6H{BAR_MM}"/>{lines}</g>'
    return _sized(shape, box=(-0.1, 0.0, BAR_MM + 0.2, 6.2), px_per_mm=px_per_mm, title=_("A bar of 50 mm"))


def _scene(scene: Scene, px_per_mm: float) -> SafeString:
    left, _bottom, _right, top = scene.box
    box = (left, -top, scene.width_mm, scene.height_mm)
    return _sized(drawing.fragment(scene), box=box, px_per_mm=px_per_mm, title=scene.title)


def _sized(
    shapes: str, *, box: tuple[float, float, float, float], px_per_mm: float, title: str
) -> SafeString:
    """SVG whose width and height are attributes, which the content policy allows and a script may change."""
    x, y, width, height = box
    # SVG of our own renderer, made from numbers and our own words.
    return mark_safe(  # noqa: S308
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing true" role="img" aria-label="{title}" '
        f'data-mm="{width:.3f} {height:.3f}" width="{width * px_per_mm:.3f}" height="{height * px_per_mm:.3f}" '
        f'viewBox="{x:.3f} {y:.3f} {width:.3f} {height:.3f}">{shapes}</svg>'
    )
