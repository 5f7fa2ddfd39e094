"""The drawings of a revision: one hand for page, paper and bench."""

from __future__ import annotations

import math
from functools import lru_cache

from django.utils.html import escape
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


def top(revision: Revision, *, variant: str = "setter", letter_mm: float | None = None):
    """Scene from above: ``setter`` with every number, ``client`` without, ``mini`` for lists."""
    return drawing.top_view(
        case_of(revision),
        revision.outputs.get("layout"),
        claws=revision.parameters["claws"]["angles_deg"],
        variant=variant,
        letter_mm=letter_mm,
        claw_mm=revision.parameters["claws"]["wire_mm"],
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


def head_of(revision: Revision) -> drawing.HeadProfile:
    """The head as the renderer takes it: its claws are as wide as their wire."""
    return drawing.HeadProfile(claw_mm=revision.parameters["claws"]["wire_mm"])


NAMES = ("Top", "Front", "Side", "Section")
SCALES = (5, 4, 3, 2.5, 2)
"""Times true size at which a sheet is drawn, the largest that fits its paper."""

PAPER_MM = (168, 200)
"""What a sheet of A4 leaves for the drawings, mm."""

LETTER_ON_PAPER_MM = 2.4
CLIENT_LETTER_MM = 1.2
CLIENT_SIDE_LETTER_MM = 0.75
"""A whole ring is some 30 mm wide and a phone some 350 px: letters of about 13 px."""
GAP_MM = 6
CAPTION_MM = 7


def views(revision: Revision, *, letter_mm: float | None = None) -> list[tuple[str, drawing.Scene]]:
    """The four views of the drawing sheet, named."""
    scenes = (
        top(revision, letter_mm=letter_mm),
        front(revision, letter_mm=letter_mm),
        side(revision, letter_mm=letter_mm),
        drawing.section(shank=shank_of(revision), letter_mm=letter_mm),
    )
    return list(zip(NAMES, scenes, strict=True))


def sheet(revision: Revision) -> tuple[float, list[list[tuple[str, drawing.Scene]]]]:
    """The four views for paper in two rows, all at one scale, and that scale: the largest that fits."""
    for scale in SCALES:
        # Letters are as tall on paper whatever the scale.
        above, front_view, side_view, cut = views(revision, letter_mm=LETTER_ON_PAPER_MM / scale)
        rows = [[above, side_view], [front_view, cut]]
        wide = max(sum(scene.width_mm for _name, scene in row) for row in rows) * scale + GAP_MM
        tall = sum(max(scene.height_mm for _name, scene in row) * scale + CAPTION_MM for row in rows)
        if wide <= PAPER_MM[0] and tall <= PAPER_MM[1]:
            break
    return scale, rows


def whole(revision: Revision, words: list[str]) -> drawing.Scene:
    """All four views as one drawing at one scale, with *words* under it: for DXF."""
    scene = drawing.ring_sheet(
        case_of(revision),
        revision.outputs.get("layout"),
        stone=stone_of(revision),
        shank=shank_of(revision),
        setting=head_of(revision),
        claws=revision.parameters["claws"]["angles_deg"],
        title=f"Revision {revision.letter}",
    )
    signed = drawing.signed(scene, words)
    rule = drawing.paper_rule(letter_mm=1.2)
    left, base, _right, _top = signed.box
    placed = drawing.moved(rule, left - rule.box[0], base - 3.0)
    low, floor, high, roof = signed.box
    box = (low, min(floor, placed.box[1]) - 1.0, max(high, placed.box[2]), roof)
    return drawing.Scene((*signed.items, *placed.items), box, signed.title, signed.description, signed.weight)


def rule() -> SafeString:
    """The bar of 50 mm for paper, at true size."""
    return as_svg(drawing.paper_rule(), scale=1)


def for_client(revision: Revision):
    """The top view as a client is shown it."""
    return top(revision, variant="client")


def front_for_client(revision: Revision):
    """The whole ring from the front as a client is shown it: its letters can be read on a phone."""
    return front(revision, letter_mm=CLIENT_LETTER_MM)


def side_for_client(revision: Revision):
    """The head from the side as a client is shown it."""
    return side(revision, letter_mm=CLIENT_SIDE_LETTER_MM)


def front(revision: Revision, *, letter_mm: float | None = None):
    """The whole ring from the front."""
    return drawing.ring_front(
        case_of(revision),
        revision.outputs.get("layout"),
        shank=shank_of(revision),
        stone=stone_of(revision),
        setting=head_of(revision),
        claws=revision.parameters["claws"]["angles_deg"],
        letter_mm=letter_mm,
    )


def side(revision: Revision, *, letter_mm: float | None = None):
    """The head from the side."""
    return drawing.side_view(
        case_of(revision),
        revision.outputs.get("layout"),
        stone=stone_of(revision),
        setting=head_of(revision),
        claws=revision.parameters["claws"]["angles_deg"],
        letter_mm=letter_mm,
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


def at_one_scale(scenes: list[drawing.Scene]) -> list[SafeString]:
    """Several drawings, each in a frame as large as the largest needs, so that sizes can be compared by eye."""
    reach = max(max(abs(side) for side in scene.box) for scene in scenes) if scenes else 1.0
    frame = f"{-reach:.3f} {-reach:.3f} {2 * reach:.3f} {2 * reach:.3f}"
    return [
        _svg(
            f'<svg class="drawing same-scale" viewBox="{frame}" role="img" aria-label="{escape(scene.title)}">'
            f"<title>{escape(scene.title)}</title>{drawing.fragment(scene)}</svg>"
        )
        for scene in scenes
    ]
