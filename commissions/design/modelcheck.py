"""A modelled opening laid over a stone's girdle: pure, from outlines in mm to figures, verdict and drawing."""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass

import numpy as np
import shapely

from commissions.design.incoming import ending_of
from gemcalc.drawing import Scene, gap_figures, gap_overlay
from gemcalc.errors import BadInput
from gemcalc.halo.check import outlines
from gemcalc.marks import clock_from_angle
from gemcalc.meshes.slicing import opening_for
from gemcalc.models import KINDS, read_triangles
from gemcalc.scan.compare import Gap, gap_round
from gemcalc.scan.reading import FORMATS, read_outline

MOST_POINTS = 720
MOST_GIRDLE = 3600
LOW_UM, HIGH_UM = 50, 150
"""Gap that is wanted where nobody says otherwise, µm. Common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Cut:
    """An opening as it was taken from a file: its outline in order, mm, and how it was come by, in words."""

    points_mm: np.ndarray
    words: str


def opening_in(
    *,
    content: bytes,
    name: str,
    girdle: dict,
    wanted_mm: float,
    unit: str | None = None,
    axis: str | None = None,
    level_mm: float | None = None,
) -> Cut:
    """
    The opening in a drawing (its largest closed outline) or in a model (cut through at the girdle).

    Raises:
        BadInput: the file cannot be read, or nothing of the stone's size is open in it.
    """
    form = ending_of(name)
    if form in FORMATS:
        reading = read_outline(content=content, name=f"opening.{form}", unit=unit)
        return Cut(
            points_mm=_few(reading.points_mm), words=f"{name}, its largest outline, read in {reading.unit}"
        )
    if form not in KINDS:
        raise BadInput(f"must end in one of .{', .'.join((*FORMATS, *KINDS))}", field="file")
    if unit not in (None, "mm", "cm", "m", "inch"):
        raise BadInput(f"a model is not drawn in {unit}", field="unit")
    try:
        triangles, _notes = read_triangles(content=content, filename=f"model.{form}", unit=unit)
        found, seen = opening_for(
            triangles=triangles,
            girdle_mm=ring_of(girdle),
            wanted_mm=wanted_mm,
            axis=axis,
            level_mm=level_mm,
        )
    except BadInput as error:
        raise BadInput(error.message, field="file" if error.field == "path" else error.field) from None
    levels = [one.level_mm for one in seen if one.axis == found.axis]
    how = (
        "as you said"
        if level_mm is not None
        else f"found among {min(levels):.2f} to {max(levels):.2f}, where it comes nearest to the stone"
    )
    return Cut(
        points_mm=_few(found.points_mm),
        words=f"{name}, cut at {found.axis} = {found.level_mm:.2f} mm, {how}: "
        f"{found.width_mm:.2f} × {found.length_mm:.2f} mm open",
    )


def ring_of(outline: dict) -> np.ndarray:
    """The girdle of an outline as points in order, mm."""
    ring = np.asarray(outlines.outline(outline).polygon.exterior.coords)[:-1]
    return ring[:: -(-len(ring) // MOST_GIRDLE)]


def _few(ring: np.ndarray) -> np.ndarray:
    """An outline with fewer corners, nowhere farther from it than 0.5 µm where that is enough."""
    if len(ring) > 1 and np.array_equal(ring[0], ring[-1]):
        ring = ring[:-1]
    if len(ring) <= MOST_POINTS:
        return ring
    closed = shapely.Polygon(ring).exterior
    for tolerance in (0.0005, 0.001, 0.002, 0.004):
        thin = np.asarray(closed.simplify(tolerance).coords)[:-1]
        if len(thin) <= MOST_POINTS:
            return thin
    return ring[:: -(-len(ring) // MOST_POINTS)]


@dataclass(frozen=True, kw_only=True)
class Laid:
    """What came out of one laying: both outlines as compared, gaps in µm, figures and verdict in words."""

    girdle: dict
    opening: dict
    least_um: int
    greatest_um: int
    mean_um: int
    figures: dict
    verdict: str


def lay_over(*, girdle: dict, opening_mm: np.ndarray, low_um: int, high_um: int, align: bool) -> Laid:
    """
    Lay the opening over the girdle and measure the gap all round.

    A model may be drawn a quarter turn off; the quarter in which the gap is most even is taken.

    Raises:
        BadInput: an outline is none, or crosses itself.
    """
    found, turned = _best(ring_of(girdle), np.asarray(opening_mm, dtype=float), low_um / 1000, align)
    stone = {"cut": "outline", "points_mm": found.girdle_mm[::2].round(4).tolist()}
    opening = {"cut": "outline", "points_mm": turned.round(4).tolist()}
    # Read off the very outlines that are kept and drawn, so that figures and drawing cannot differ.
    gap = gap_figures(girdle=stone, inner=opening, low_mm=low_um / 1000, high_mm=high_um / 1000)
    least, greatest = round(gap.least_mm * 1000), round(gap.greatest_mm * 1000)
    verdict = "stop" if gap.least_mm < 0 else "look" if least < low_um or greatest > high_um else "good"
    return Laid(
        girdle=stone,
        opening=opening,
        least_um=least,
        greatest_um=greatest,
        mean_um=round(gap.mean_mm * 1000),
        figures={
            "least_at_deg": round(gap.least_at_deg, 1),
            "greatest_at_deg": round(gap.greatest_at_deg, 1),
            "close_ppt": round(1000 * gap.close_share),
            "wide_ppt": round(1000 * gap.wide_share),
            "overlap_ppt": round(1000 * found.overlap_share),
            "shift_um": [round(1000 * part) for part in found.shift_mm],
            "turn_deg": round(found.turn_deg, 2),
            "aligned": align,
        },
        verdict=verdict,
    )


def _best(ring: np.ndarray, opening: np.ndarray, wanted_mm: float, align: bool) -> tuple[Gap, np.ndarray]:
    if not align:
        return gap_round(girdle_mm=ring, opening_mm=opening, wanted_mm=wanted_mm), opening
    middle = opening.mean(axis=0)
    tried = []
    for quarter in (0, 1, 2, 3):
        cos, sin = ((1, 0), (0, 1), (-1, 0), (0, -1))[quarter]
        turned = (opening - middle) @ np.array([[cos, sin], [-sin, cos]])
        tried.append((gap_round(girdle_mm=ring, opening_mm=turned, wanted_mm=wanted_mm, align=True), turned))
    # The first of equals: a round opening is not turned for nothing.
    best = min(range(4), key=lambda place: (round(float(np.var(tried[place][0].gap_mm)), 9), place))
    return tried[best]


def words_of(
    *, verdict: str, figures: dict, least_um: int, greatest_um: int, low_um: int, high_um: int
) -> str:
    """The verdict as a sentence with the places on the clock, twelve at the top."""
    if verdict == "stop":
        share = max(figures["overlap_ppt"] / 10, 0.1)
        at = clock_from_angle(angle_deg=figures["least_at_deg"])
        return (
            f"The stone would not go in: it reaches over the opening along {share:.0f} % of its girdle, "
            f"by {-least_um / 1000:.3f} mm at {at}."
        )
    parts = []
    if least_um < low_um:
        at = clock_from_angle(angle_deg=figures["least_at_deg"])
        parts.append(f"closer than {low_um / 1000:g} mm at {at}")
    if greatest_um > high_um:
        at = clock_from_angle(angle_deg=figures["greatest_at_deg"])
        parts.append(f"wider than {high_um / 1000:g} mm at {at}")
    if parts:
        return f"The stone goes in; the gap is {' and '.join(parts)}."
    return "The stone goes in, and the gap lies within what is wanted all round."


def scene_of(*, girdle: dict, opening: dict, low_um: int, high_um: int) -> Scene:
    """The drawing of one laying."""
    return gap_overlay(
        girdle=girdle,
        inner=opening,
        low_mm=low_um / 1000,
        high_mm=high_um / 1000,
        title="The opening laid over the girdle",
    )


def digest_of(outline: dict) -> str:
    """SHA-256 of an outline's canonical JSON: the same stone gives the same digest."""
    text = json.dumps(outline, sort_keys=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()
