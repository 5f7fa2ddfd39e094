"""The halo dial: a ring of beads, one for each stage, round the picture of the piece."""

from __future__ import annotations

import math
from functools import cache

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

from commissions.record.route import ROUTE

RADIUS = 7.0
STAGES = len(ROUTE)


def _bead(place: int, *, beads: int, closed: bool, stages: int) -> str:
    # From north, clockwise, as a setter counts stones.
    angle = 2 * math.pi * place / stages
    x, y = RADIUS * math.sin(angle), -RADIUS * math.cos(angle)
    kind = "done" if place < beads or closed else "now" if place == beads else "todo"
    return f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{0.72 if kind == "now" else 0.5}" class="bead {kind}"/>'


@cache
def beads_svg(*, beads: int, closed: bool = False, stages: int = STAGES) -> str:
    """The beads as SVG, thirteen of a ring and fewer of a small job: those done, the open one, those to come."""
    return "".join(_bead(place, beads=beads, closed=closed, stages=stages) for place in range(stages))


@cache
def small(*, beads: int, stages: int = STAGES) -> SafeString:
    """The dial of a list row, with the number of stages done in it."""
    return mark_safe(  # noqa: S308  (made of our own numbers)
        '<svg class="dial" viewBox="-8.2 -8.2 16.4 16.4" width="44" height="44" role="img" '
        f'aria-label="{beads} of {stages} stages done">{beads_svg(beads=beads, stages=stages)}'
        f'<text class="dn" text-anchor="middle" y="2.2">{beads}</text></svg>'
    )


def large(
    *, beads: int, words: str, size: int, drawing: str = "", closed: bool = False, stages: int = STAGES
) -> SafeString:
    """
    The dial of a page, *size* px wide.

    *drawing* is SVG of our own renderer, scaled to a circle of radius 5.2 about the origin; *words* says in a
    sentence what the beads say.
    """
    return format_html(
        '<svg class="dial" viewBox="-8.2 -8.2 16.4 16.4" width="{}" height="{}" role="img" aria-label="{}">{}{}</svg>',
        size,
        size,
        words,
        mark_safe(beads_svg(beads=beads, closed=closed, stages=stages)),  # noqa: S308
        mark_safe(drawing),  # noqa: S308
    )
