"""The ring as the bench sees it: the agreed design from above, without figures, the mark at north."""

from __future__ import annotations

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


def closing_order(*, commission: Commission) -> list[tuple[int, int]]:
    """
    The claws in the order in which they are closed: each followed by the one across, numbered clockwise from north.

    Two rounds in this order. Common practice of the trade, no source.
    """
    revision = agreed(commission=commission)
    count = len(revision.parameters["claws"]["angles_deg"]) if revision else 0
    if count < 2:
        return []
    half = count // 2
    pairs = [(first + 1, first + 1 + half) for first in range(half)]
    return pairs + ([(count, 0)] if count % 2 else [])


def for_setter(*, commission: Commission, scale: float | None = None) -> SafeString:
    """The setter's drawing with numbers, sizes and gaps, *scale* times true size on paper; nothing before a design."""
    revision = agreed(commission=commission)
    return as_svg(top(revision), scale=scale) if revision else mark_safe("")
