"""A plotted stone under the claws of its design: what they cover, and the turn that covers most."""

from __future__ import annotations

import hashlib
import json
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from commissions.design.models import Revision
from commissions.sourcing.models import Look, PlotMark
from gemcalc import drawing
from gemcalc.covered import Claw, Mark, ramps
from gemcalc.drawing.shapes import edge, middle
from gemcalc.marks import MARK_KINDS, clock_from_angle, mark_severity
from gemcalc.turn import best_turn

WEIGHTS = {Look.FAINT: 0.5, Look.PLAIN: 1.0, Look.STRIKING: 2.0}
"""How much the look of a mark counts beside its kind. Our own figures."""

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


def radius(outline: dict, degrees: float) -> float:
    """From the middle of an outline to its girdle in a direction, mm."""
    origin = middle(outline)
    x, y = edge(outline, origin, degrees)
    return math.hypot(x - origin[0], y - origin[1])


def marks_of(*, outline: dict, rows: Sequence[PlotMark]) -> list[Mark]:
    """The marks in shares of the stone's radius in their direction."""
    return [
        Mark(
            r=row.out_permille / 1000,
            angle_deg=row.angle_cdeg / 100,
            size=min(max(row.size_hmm / 100 / radius(outline, row.angle_cdeg / 100), 1e-3), 2.0),
            severity=mark_severity(kind=row.kind, reaches_surface=row.surface).weight * WEIGHTS[row.look],
        )
        for row in rows
    ]


def claws_of(*, outline: dict, revision: Revision, reach_hmm: int) -> list[Claw]:
    """The claws of *revision* as sectors over the stone."""
    wire = revision.parameters["claws"]["wire_mm"]
    made = []
    for angle in revision.parameters["claws"]["angles_deg"]:
        far = radius(outline, angle)
        made.append(
            Claw(
                angle_deg=angle,
                half_width_deg=math.degrees(math.asin(min(wire / (2 * far), 0.99))),
                inner_r=max(1 - reach_hmm / 100 / far, 0.0),
            )
        )
    return made


def basis_of(marks: Sequence[Mark], claws: Sequence[Claw]) -> str:
    """Digest of what a turn is worked out from, so that a later mark or claw is noticed."""
    rows = [[vars(row) for row in marks], [vars(row) for row in claws]]
    return hashlib.sha256(json.dumps(rows, sort_keys=True).encode()).hexdigest()


CLEAR_MM = 0.3
"""How far the edge of a claw stays from a mark that it should not bear on, mm. Common practice, no source."""

GRID_DEG = 0.25
"""How finely turns are tried where marks have to stay clear of claws; a stone is turned by hand to about a degree."""


@dataclass(frozen=True, kw_only=True)
class Lie:
    """
    A turn that was found.

    Args:
        rotation_deg: Degrees anticlockwise.
        hidden_now, hidden: Share of the marks to hide that claws cover, as plotted and turned.
        clear: Whether claws keep their distance from every mark that they should not bear on.
    """

    rotation_deg: float
    hidden_now: float
    hidden: float
    clear: bool


def keeps_clear(row: PlotMark) -> bool:
    """Whether no claw should bear on a mark: it comes to the surface and could run or break."""
    return row.surface and not MARK_KINDS[row.kind].bears_claw


def to_keep_clear(*, outline: dict, rows: Sequence[PlotMark]) -> list[Mark]:
    """The marks that no claw should bear on, each widened by the distance that claws keep from it."""
    kept = [row for row in rows if keeps_clear(row)]
    return [
        replace(mark, size=min(mark.size + 2 * CLEAR_MM / radius(outline, mark.angle_deg), 2.0))
        for mark in marks_of(outline=outline, rows=kept)
    ]


def best(*, marks: Sequence[Mark], clear: Sequence[Mark], claws: Sequence[Claw], step_deg: int | None) -> Lie:
    """
    The turn that hides most of *marks* with every mark of *clear* free of the claws.

    Where nothing has to stay clear it is exact (see gemcalc.turn). Else turns are tried by quarter degrees (or
    by the step), and of equally good ones the middle of the longest stretch is taken: the farthest from harm.
    Where no turn is free of harm, the one that covers least of *clear* is taken, and ``clear`` says so.
    """
    if not clear:
        found = best_turn(marks=marks, claws=claws, step_deg=step_deg)
        return Lie(
            rotation_deg=found.best.rotation_deg,
            hidden_now=found.hidden_now,
            hidden=found.best.hidden,
            clear=True,
        )
    turns = np.arange(0.0, 360.0 - 1e-9, step_deg or GRID_DEG)
    angles = np.radians(turns)
    hidden = ramps(marks, claws).hidden(angles) if marks else np.zeros(len(turns))
    harm = ramps(clear, claws).hidden(angles)
    least = float(harm.min())
    free = harm <= least + 1e-9
    good = free & (hidden >= hidden[free].max() - 1e-6)
    place = _middle_of_longest(good)
    return Lie(
        rotation_deg=float(turns[place]),
        hidden_now=float(hidden[0]),
        hidden=float(hidden[place]),
        clear=least <= 1e-9,
    )


def _middle_of_longest(good: np.ndarray) -> int:
    """Place in the middle of the longest run of true values on a ring; of equal runs the one met first."""
    count = len(good)
    if good.all():
        return 0
    start = int(np.flatnonzero(~good)[0])
    best_run, run = (0, 0), 0
    for step in range(1, count + 1):
        place = (start + step) % count
        if good[place]:
            run += 1
            continue
        if run > best_run[0]:
            best_run = (run, (start + step - run) % count)
        run = 0
    length, first = best_run
    return (first + (length - 1) // 2) % count


def shares_at(*, marks: Sequence[Mark], claws: Sequence[Claw], rotation_deg: float) -> list[float]:
    """Covered share of every mark with the stone turned, 0 to 1."""
    return [float(share) for share in ramps(marks, claws).covered(np.radians(rotation_deg))]


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
    far = radius(outline, angle) * row.out_permille / 1000
    turned = math.radians(angle + rotation_deg)
    x, y = far * math.cos(turned), far * math.sin(turned)
    best = (0, math.inf)
    for number, claw in enumerate(claws, start=1):
        towards = math.radians(claw["angle_deg"])
        girdle = radius(outline, claw["angle_deg"])
        along = x * math.cos(towards) + y * math.sin(towards)
        on = min(max(along, girdle - reach_hmm / 100), girdle)
        gap = math.hypot(x - on * math.cos(towards), y - on * math.sin(towards))
        gap = max(gap - wire / 2 - row.size_hmm / 200, 0.0)
        if gap < best[1]:
            best = (number, gap)
    return best


def dial(angle_deg: float) -> str:
    """A direction as the hour hand of a dial shows it, to the minute: half a degree."""
    minutes = round((90.0 - angle_deg) % 360.0 * 2) % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


def words_for(*, rotation_deg: float) -> str:
    """What the setter does: where the plot's twelve o'clock comes to lie."""
    if rotation_deg < 0.05 or rotation_deg > 359.95:
        return "Leave the stone as plotted: the plot's 12 o'clock at the ring's north."
    turn = rotation_deg if rotation_deg <= 180 else 360 - rotation_deg
    way = "anticlockwise" if rotation_deg <= 180 else "clockwise"
    return (
        f"Turn the stone {turn:.1f}° {way}, seen from above: the plot's 12 o'clock comes to lie at "
        f"{dial(90 + rotation_deg)}, the ring's north being 12:00."
    )


def kept_clear(
    *, rows: Sequence[PlotMark], marks: Sequence[Mark], claws: Sequence[Claw], rotation_deg: float
) -> list[str]:
    """The marks that no claw should bear on and none does, by their numbers on the plot."""
    shares = shares_at(marks=marks, claws=claws, rotation_deg=rotation_deg) if claws and marks else []
    return [
        f"Mark {number}, {row.get_kind_display().lower()} at {clock_from_angle(angle_deg=row.angle_cdeg / 100)}, "
        "lies clear of every claw."
        for number, (row, share) in enumerate(zip(rows, shares, strict=True), start=1)
        if keeps_clear(row) and share <= 0
    ]


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
