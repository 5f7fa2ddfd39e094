"""A plotted stone under the claws of its design: what they cover, and the turn that covers most."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from django.utils.safestring import SafeString, mark_safe

from commissions.design.models import Revision
from commissions.sourcing.models import Look, PlotMark
from gemcalc import drawing
from gemcalc.covered import Claw, Mark, ramps
from gemcalc.drawing.shapes import edge, middle
from gemcalc.marks import clock_from_angle, mark_severity
from gemcalc.turn import WHOLLY, Turn, best_turn

WEIGHTS = {Look.FAINT: 0.5, Look.PLAIN: 1.0, Look.STRIKING: 2.0}
"""How much the look of a mark counts beside its kind. Our own figures."""

PLAIN = replace(drawing.MINI, facets=True)
"""A stone by itself, with its facets to find one's way by."""

ROUND = [(None, "Freely: facets need not keep to the claws"), (45, "By main facets: 45° at a time")]
QUARTERS = [(90, "By quarters: 90° at a time")]
ENDS = [(180, "End for end: 180°")]
SQUARE = ("princess", "cushion", "emerald")
BOTH_WAYS = ("oval", "marquise", *SQUARE)
SQUARE_WITHIN_HMM = 5
"""A stone whose sides differ by no more than this, 0.01 mm, lies in its seat in four ways. Common practice, no source."""


def steps_of(*, outline: dict) -> list[tuple[int | None, str]]:
    """
    The turns that an outline allows in its seat, with words.

    Empty where it lies one way only: a pear, a heart, a scanned outline.
    """
    cut = outline["cut"]
    if cut == "round":
        return ROUND
    if cut in SQUARE and abs(outline["length_mm"] - outline["width_mm"]) * 100 <= SQUARE_WITHIN_HMM:
        return QUARTERS
    return ENDS if cut in BOTH_WAYS else []


def reach_suggested_hmm(revision: Revision) -> int:
    """How far a claw usually comes in over the girdle: 0.6 of its wire (common practice, no source), 0.01 mm."""
    return round(revision.parameters["claws"]["wire_mm"] * 60)


def _radius(outline: dict, degrees: float) -> float:
    origin = middle(outline)
    x, y = edge(outline, origin, degrees)
    return math.hypot(x - origin[0], y - origin[1])


def marks_of(*, outline: dict, rows: Sequence[PlotMark]) -> list[Mark]:
    """The marks in shares of the stone's radius in their direction."""
    return [
        Mark(
            r=row.out_permille / 1000,
            angle_deg=row.angle_cdeg / 100,
            size=min(max(row.size_hmm / 100 / _radius(outline, row.angle_cdeg / 100), 1e-3), 2.0),
            severity=mark_severity(kind=row.kind, reaches_surface=row.surface).weight * WEIGHTS[row.look],
        )
        for row in rows
    ]


def claws_of(*, outline: dict, revision: Revision, reach_hmm: int) -> list[Claw]:
    """The claws of *revision* as sectors over the stone."""
    wire = revision.parameters["claws"]["wire_mm"]
    made = []
    for angle in revision.parameters["claws"]["angles_deg"]:
        radius = _radius(outline, angle)
        made.append(
            Claw(
                angle_deg=angle,
                half_width_deg=math.degrees(math.asin(min(wire / (2 * radius), 0.99))),
                inner_r=max(1 - reach_hmm / 100 / radius, 0.0),
            )
        )
    return made


def basis_of(marks: Sequence[Mark], claws: Sequence[Claw]) -> str:
    """Digest of what a turn is worked out from, so that a later mark or claw is noticed."""
    rows = [[vars(row) for row in marks], [vars(row) for row in claws]]
    return hashlib.sha256(json.dumps(rows, sort_keys=True).encode()).hexdigest()


def best(*, marks: Sequence[Mark], claws: Sequence[Claw], step_deg: int | None) -> Turn:
    """The turn that hides most (see gemcalc.turn)."""
    return best_turn(marks=marks, claws=claws, step_deg=step_deg)


def shares_at(*, marks: Sequence[Mark], claws: Sequence[Claw], rotation_deg: float) -> list[float]:
    """Covered share of every mark with the stone turned, 0 to 1."""
    return [float(share) for share in ramps(marks, claws).covered(np.radians(rotation_deg))]


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


def nearest_claw(
    *, outline: dict, revision: Revision, row: PlotMark, reach_hmm: int, rotation_deg: float = 0.0
) -> tuple[int, float]:
    """
    The claw nearest to a mark, numbered clockwise from north, and how far its edge is from the mark's, mm.

    Nought where the claw lies over the mark. A claw is taken as a bar as wide as its wire, from its tip to
    the girdle; the outline is one that the turn brings onto itself.
    """
    wire = revision.parameters["claws"]["wire_mm"]
    claws = drawing.clockwise([{"angle_deg": angle} for angle in revision.parameters["claws"]["angles_deg"]])
    angle = row.angle_cdeg / 100
    far = _radius(outline, angle) * row.out_permille / 1000
    turned = math.radians(angle + rotation_deg)
    x, y = far * math.cos(turned), far * math.sin(turned)
    best = (0, math.inf)
    for number, claw in enumerate(claws, start=1):
        towards = math.radians(claw["angle_deg"])
        girdle = _radius(outline, claw["angle_deg"])
        along = x * math.cos(towards) + y * math.sin(towards)
        on = min(max(along, girdle - reach_hmm / 100), girdle)
        gap = math.hypot(x - on * math.cos(towards), y - on * math.sin(towards))
        gap = max(gap - wire / 2 - row.size_hmm / 200, 0.0)
        if gap < best[1]:
            best = (number, gap)
    return best


def words_for(*, rotation_deg: float) -> str:
    """What the setter does: where the plot's twelve o'clock comes to lie."""
    if rotation_deg < 0.05 or rotation_deg > 359.95:
        return "Leave the stone as plotted: the plot's 12 o'clock at the ring's north."
    turn = rotation_deg if rotation_deg <= 180 else 360 - rotation_deg
    way = "anticlockwise" if rotation_deg <= 180 else "clockwise"
    return (
        f"Turn the stone {turn:.1f}° {way}, seen from above: the plot's 12 o'clock comes to lie near "
        f"{clock_from_angle(angle_deg=90 + rotation_deg)}, the ring's north being 12."
    )


def cautions_for(
    *, rows: Sequence[PlotMark], marks: Sequence[Mark], claws: Sequence[Claw], rotation_deg: float
) -> list[str]:
    """A caution for every mark on which a claw would bear and should not."""
    shares = shares_at(marks=marks, claws=claws, rotation_deg=rotation_deg) if claws and marks else []
    made = []
    for row, share in zip(rows, shares, strict=True):
        caution = mark_severity(kind=row.kind, reaches_surface=row.surface).caution
        if caution and share > 0:
            where = clock_from_angle(angle_deg=row.angle_cdeg / 100)
            made.append(f"The mark plotted at {where} lies under a claw. {caution}")
    return made


def plot_svg(*, outline: dict, rows: Sequence[PlotMark]) -> SafeString:
    """The outline face up with its numbered marks; filled where they reach the surface."""
    half = max(_radius(outline, degrees) for degrees in range(0, 360, 15)) * 1.12
    x0, y0 = middle(outline)
    scene = drawing.top_view({"centre": outline}, None, claws=(), options=PLAIN)
    shapes = [drawing.fragment(scene)]
    for number, row in enumerate(rows, start=1):
        angle = row.angle_cdeg / 100
        far = _radius(outline, angle) * row.out_permille / 1000
        x, y = x0 + far * math.cos(math.radians(angle)), y0 + far * math.sin(math.radians(angle))
        size = max(row.size_hmm / 200, half * 0.018)
        fill = "#8C2F39" if row.surface else "none"
        shapes.append(
            f'<circle cx="{x:.3f}" cy="{-y:.3f}" r="{size:.3f}" fill="{fill}" stroke="#8C2F39" '
            f'stroke-width="{half * 0.012:.3f}"/>'
            f'<text class="number" x="{x + size + half * 0.02:.3f}" y="{-y + half * 0.04:.3f}" '
            f'font-size="{half * 0.11:.3f}">{number}</text>'
        )
    radii = " ".join(f"{_radius(outline, degrees):.3f}" for degrees in range(0, 360, 5))
    return mark_safe(  # noqa: S308
        f'<svg class="drawing" data-plot data-middle="{x0:.3f} {y0:.3f}" data-radii="{radii}" role="img" '
        f'aria-label="Plot of the stone, face up, with {len(rows)} marks" '
        f'viewBox="{x0 - half:.3f} {-y0 - half:.3f} {2 * half:.3f} {2 * half:.3f}">{"".join(shapes)}</svg>'
    )
