"""The plans of a plotted stone as SVG: its plot, the turn before and after, and how it lies for the setter."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from django.utils.safestring import SafeString, mark_safe

from commissions.sourcing.models import PlotMark
from commissions.sourcing.turning import radius, shares_at
from gemcalc import drawing
from gemcalc.covered import Claw, Mark
from gemcalc.drawing.shapes import middle
from gemcalc.drawing.style import FONT
from gemcalc.turn import WHOLLY

PLAIN = replace(drawing.MINI, facets=True)
"""A stone by itself, with its facets to find one's way by."""


def before_and_after(
    *, outline: dict, marks: Sequence[Mark], claws: Sequence[Claw], rotation_deg: float
) -> SafeString:
    """The two plans side by side in the stone's own outline, as SVG of our own renderer."""
    now = shares_at(marks=marks, claws=claws, rotation_deg=0.0)
    then = shares_at(marks=marks, claws=claws, rotation_deg=rotation_deg)
    scene = drawing.turn_view(
        marks=[vars(row) for row in marks],
        claws=[vars(row) for row in claws],
        rotation_deg=rotation_deg,
        exposed=_open(then),
        exposed_now=_open(now),
        before="As plotted",
        outline=outline,
    )
    return mark_safe(drawing.to_svg(scene))  # noqa: S308


def as_it_lies(
    *,
    outline: dict,
    marks: Sequence[Mark],
    claws: Sequence[Claw],
    rotation_deg: float,
    scale: float | None = None,
) -> SafeString:
    """One plan for the setter: numbered claws, numbered marks, the orientation mark; *scale* for paper."""
    shares = shares_at(marks=marks, claws=claws, rotation_deg=rotation_deg)
    scene = drawing.lie_view(
        outline=outline,
        marks=[vars(row) for row in marks],
        claws=[vars(row) for row in claws],
        rotation_deg=rotation_deg,
        exposed=_open(shares),
    )
    return mark_safe(drawing.to_svg(scene, scale=scale))  # noqa: S308


def _open(shares: Sequence[float]) -> list[int]:
    return [place for place, share in enumerate(shares) if share < WHOLLY]


def plot_svg(*, outline: dict, rows: Sequence[PlotMark], paper_mm: float | None = None) -> SafeString:
    """The outline face up with its numbered marks; filled where they reach the surface. *paper_mm* wide on paper."""
    half = max(radius(outline, degrees) for degrees in range(0, 360, 15)) * 1.12
    x0, y0 = middle(outline)
    scene = drawing.top_view({"centre": outline}, None, claws=(), options=PLAIN)
    shapes = [drawing.fragment(scene)]
    for number, row in enumerate(rows, start=1):
        angle = row.angle_cdeg / 100
        far = radius(outline, angle) * row.out_permille / 1000
        x, y = x0 + far * math.cos(math.radians(angle)), y0 + far * math.sin(math.radians(angle))
        size = max(row.size_hmm / 200, half * 0.018)
        fill = "#8C2F39" if row.surface else "none"
        shapes.append(
            f'<circle cx="{x:.3f}" cy="{-y:.3f}" r="{size:.3f}" fill="{fill}" stroke="#8C2F39" '
            f'stroke-width="{half * 0.012:.3f}"/>'
            f'<text class="number" x="{x + size + half * 0.02:.3f}" y="{-y + half * 0.04:.3f}" '
            f'font-size="{half * 0.11:.3f}" font-family="{FONT}">{number}</text>'
        )
    radii = " ".join(f"{radius(outline, degrees):.3f}" for degrees in range(0, 360, 5))
    size = f' width="{paper_mm:g}mm" height="{paper_mm:g}mm"' if paper_mm else ""
    return mark_safe(  # noqa: S308
        f'<svg class="drawing"{size} data-plot data-middle="{x0:.3f} {y0:.3f}" data-radii="{radii}" role="img" '
        f'aria-label="Plot of the stone, face up, with {len(rows)} marks" '
        f'viewBox="{x0 - half:.3f} {-y0 - half:.3f} {2 * half:.3f} {2 * half:.3f}">{"".join(shapes)}</svg>'
    )
