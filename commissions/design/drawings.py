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
    return [
        ("Top", top(revision)),
        ("Front", front(revision)),
        ("Side", side(revision)),
        ("Section", drawing.section(shank=shank_of(revision))),
    ]


def for_client(revision: Revision):
    """The top view as a client is shown it."""
    return top(revision, variant="client")


def front(revision: Revision):
    """The whole ring from the front."""
    return drawing.ring_front(
        case_of(revision),
        revision.outputs.get("layout"),
        shank=shank_of(revision),
        stone=stone_of(revision),
        claws=revision.parameters["claws"]["angles_deg"],
    )


def side(revision: Revision):
    """The head from the side."""
    return drawing.side_view(
        case_of(revision),
        revision.outputs.get("layout"),
        stone=stone_of(revision),
        claws=revision.parameters["claws"]["angles_deg"],
        seen="side",
    )


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
