"""The drawings of a revision: one hand for page, paper and bench."""

from __future__ import annotations

import math
from functools import lru_cache

from django.utils.safestring import SafeString, mark_safe

from commissions.design.models import Revision
from gemcalc import drawing


def _svg(text: str) -> SafeString:
    # SVG of our own renderer, made from numbers; words in it are escaped there.
    return mark_safe(text)  # noqa: S308


def case_of(revision: Revision) -> dict:
    """What the renderer needs of a design: the centre and, where one is wanted, the target."""
    parameters = revision.parameters
    return {"centre": parameters["centre"]["outline"], "target": (parameters.get("halo") or {}).get("target")}


def top(revision: Revision, *, variant: str = "setter"):
    """Scene from above: ``setter`` with every number, ``client`` without, ``mini`` for lists."""
    return drawing.top_view(
        case_of(revision),
        revision.outputs.get("layout"),
        claws=revision.parameters["claws"]["angles_deg"],
        variant=variant,
        title=f"Top view, revision {revision.letter}",
    )


def shank_of(revision: Revision) -> drawing.Shank:
    """The shank as the renderer takes it."""
    return drawing.Shank(
        inside_diameter_mm=revision.parameters["circumference_mm"] / math.pi, **revision.parameters["shank"]
    )


def stone_of(revision: Revision) -> drawing.StoneProfile:
    """The centre stone from the side."""
    return drawing.StoneProfile(depth_mm=revision.parameters["centre"]["depth_mm"])


def views(revision: Revision) -> list[tuple[str, object]]:
    """The four views of the drawing sheet, named."""
    case, layout = case_of(revision), revision.outputs.get("layout")
    claws = revision.parameters["claws"]["angles_deg"]
    stone, shank = stone_of(revision), shank_of(revision)
    return [
        ("Top", top(revision)),
        ("Front", drawing.ring_front(case, layout, shank=shank, stone=stone, claws=claws)),
        ("Side", drawing.side_view(case, layout, stone=stone, claws=claws, seen="side")),
        ("Section", drawing.section(shank=shank)),
    ]


def as_svg(scene, *, scale: float | None = None) -> SafeString:
    """A scene as SVG for a page (it fills its place) or for paper (*scale* 1 is true size)."""
    return _svg(drawing.to_svg(scene, scale=scale))


@lru_cache(maxsize=256)
def _mini(pk: int, made_at: str) -> str:
    scene = top(Revision.objects.get(pk=pk), variant="mini")
    half = max(scene.width_mm, scene.height_mm) / 2
    return f'<g transform="scale({5.1 / half:.4f})">{drawing.fragment(scene)}</g>'


def mini(revision: Revision) -> SafeString:
    """The drawing inside the halo dial, scaled to it; a revision that was sent is drawn once in a process."""
    return _svg(_mini(revision.pk, revision.made_at.isoformat()))
