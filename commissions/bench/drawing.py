"""The ring as the bench sees it: the agreed design from above, without figures, the mark at north."""

from __future__ import annotations

import math
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from commissions.design.drawings import as_svg, case_of, top
from commissions.design.models import Revision
from commissions.design.queries import agreed
from commissions.record.models import Commission
from gemcalc import drawing

PLAIN = drawing.TopOptions(
    numbers=False,
    centre_size=False,
    overall=False,
    beads=False,
    gaps=False,
    target=False,
    sizes=False,
    check_bar=False,
)


@lru_cache(maxsize=128)
def _drawn(pk: int, made_at: str) -> str:
    revision = Revision.objects.get(pk=pk)
    scene = drawing.top_view(
        case_of(revision),
        revision.outputs.get("layout"),
        claws=revision.parameters["claws"]["angles_deg"],
        claw_mm=revision.parameters["claws"]["wire_mm"],
        options=PLAIN,
        title=f"The ring from above, revision {revision.letter}",
    )
    return drawing.to_svg(scene, css_class="drawing bring")


def for_phone(*, commission: Commission) -> SafeString:
    """The drawing as SVG, or nothing before a design is agreed. An agreed revision never changes."""
    revision = agreed(commission=commission)
    if revision is None:
        return mark_safe("")
    return mark_safe(_drawn(revision.pk, revision.made_at.isoformat()))  # noqa: S308 - our own renderer's


def _bearings(commission: Commission) -> list[float]:
    """Where the agreed claws stand, degrees clockwise from north: the first is number 1."""
    revision = agreed(commission=commission)
    angles = revision.parameters["claws"]["angles_deg"] if revision else []
    return sorted((90 - angle) % 360 for angle in angles)


def _apart(one: float, other: float) -> float:
    turn = abs(one - other) % 360
    return min(turn, 360 - turn)


def sequence(bearings: list[float]) -> list[int]:
    """
    The order in which claws are closed, like wheel nuts: after each the open one that lies most nearly across.

    Where two lie equally far, the one with the lower number. Numbered from 1, clockwise from north.
    Common practice, no source.

    >>> sequence([45.0, 135.0, 225.0, 315.0])
    [1, 3, 2, 4]
    >>> sequence([0.0, 72.0, 144.0, 216.0, 288.0])
    [1, 3, 5, 2, 4]
    """
    order = [0] if bearings else []
    while len(order) < len(bearings):
        last = order[-1]
        rest = [number for number in range(len(bearings)) if number not in order]
        order.append(
            max(
                rest,
                key=lambda number: (
                    round(_apart(bearings[number], bearings[last]), 3),
                    -number,
                ),
            )
        )
    return [number + 1 for number in order]


def closing_order(*, commission: Commission) -> list[tuple[int, int]]:
    """The closing order of this ring's claws in pairs across (0 where an odd one is left): two rounds of it."""
    order = sequence(_bearings(commission))
    return [(*order[place : place + 2], 0)[:2] for place in range(0, len(order), 2)] if len(order) > 1 else []


@lru_cache(maxsize=128)
def _closing(pk: int, made_at: str) -> str:
    revision = Revision.objects.get(pk=pk)
    angles = revision.parameters["claws"]["angles_deg"]
    scene = drawing.top_view(
        case_of(revision), None, claws=angles, options=PLAIN, title=f"Closing order of {len(angles)} claws"
    )
    bearings = sorted((90 - angle) % 360 for angle in angles)
    half = max(scene.width_mm, scene.height_mm) / 2
    out, size = half * 1.28, half * 0.34
    order = sequence(bearings)
    words = ", ".join(str(number) for number in order)
    marks = []
    for place, number in enumerate(order, start=1):
        turn = math.radians(bearings[number - 1])
        x, y = out * math.sin(turn), -out * math.cos(turn)
        marks.append(
            f'<circle cx="{x:.3f}" cy="{y:.3f}" r="{size * 0.72:.3f}" fill="#fff" stroke="#1e2426" '
            f'stroke-width="0.06" class="bclose"/>'
            f'<text x="{x:.3f}" y="{y + size * 0.34:.3f}" font-size="{size:.3f}" text-anchor="middle" '
            f'font-weight="700" fill="#1e2426" class="bclose">{place}</text>'
        )
    box = out + size
    return (
        f'<svg class="drawing bring" viewBox="{-box:.3f} {-box:.3f} {2 * box:.3f} {2 * box:.3f}" role="img" '
        f'aria-label="Close the claws in the order of the figures, clockwise from north: claw {words}">'
        f"{drawing.fragment(scene)}{''.join(marks)}</svg>"
    )


def closing_drawing(*, commission: Commission) -> SafeString:
    """The centre from above with the order beside each claw, as first, second and so on; nothing before a design."""
    revision = agreed(commission=commission)
    if revision is None or len(revision.parameters["claws"]["angles_deg"]) < 2:
        return mark_safe("")
    return mark_safe(_closing(revision.pk, revision.made_at.isoformat()))  # noqa: S308 - our own renderer's


def for_setter(*, commission: Commission, scale: float | None = None) -> SafeString:
    """The setter's drawing with numbers, sizes and gaps, *scale* times true size on paper; nothing before a design."""
    revision = agreed(commission=commission)
    return as_svg(top(revision), scale=scale) if revision else mark_safe("")
