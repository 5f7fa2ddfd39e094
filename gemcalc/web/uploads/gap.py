"""A model laid over the stone: the gap all round."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from gemcalc.drawing import gap_overlay
from gemcalc.errors import BadInput
from gemcalc.halo.check import outlines
from gemcalc.marks import clock_from_angle
from gemcalc.scan.compare import gap_round
from gemcalc.scan.fit import fit_girdle
from gemcalc.scan.reading import UNITS
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Finding, Headline, drawn
from gemcalc.web.calculators.stones import CUT_CHOICES
from gemcalc.web.fields import choice, figure
from gemcalc.web.typed import LENGTH
from gemcalc.web.uploads.page import Upload, UploadForm, file_box
from gemcalc.web.uploads.scan import KINDS, read

UNIT_CHOICES = [("", "Guess it"), *((unit, unit) for unit in UNITS)]
WAYS = [("", "From a file"), *CUT_CHOICES]


class Gap(UploadForm):
    """Boxes for a model against a stone."""

    stone_file = file_box("Scan of the stone", KINDS, most="5 MB", required=False)
    stone_cut = choice("or its cut", WAYS)
    stone_length = figure(LENGTH, "Length", required=False)
    stone_width = figure(LENGTH, "Width", required=False)
    opening_file = file_box("Opening in the model", KINDS, most="5 MB", required=False)
    opening_cut = choice("or its shape", WAYS)
    opening_length = figure(LENGTH, "Length", required=False)
    opening_width = figure(LENGTH, "Width", required=False)
    unit = choice("Unit of the files", UNIT_CHOICES)
    low = figure(LENGTH, "Gap wanted from", initial="0.05", required=False)
    high = figure(LENGTH, "to", initial="0.15", required=False)
    align = choice(
        "How they lie",
        [("yes", "Lay the stone in as evenly as it goes"), ("no", "Both in one frame already")],
    )
    groups = (
        ("The stone", ("stone_file", "stone_cut", "stone_length", "stone_width")),
        ("The opening", ("opening_file", "opening_cut", "opening_length", "opening_width")),
        ("Both", ("unit", "align", "low", "high")),
    )
    names = {
        "wanted_mm": "low",
        "low_mm": "low",
        "high_mm": "high",
        "girdle_mm": "stone_file",
        "opening_mm": "opening_file",
    }


def _ring(data: Mapping[str, Any], part: str, unit: str | None) -> np.ndarray:
    """The outline of one part, in order, mm."""
    file, cut = data[f"{part}_file"], data[f"{part}_cut"]
    if file is not None:
        reading = read(file, "", unit=unit, weight=None, box=f"{part}_file")
        if part == "opening":
            return reading.points_mm
        try:
            return fit_girdle(points_mm=reading.points_mm).outline_mm
        except BadInput as error:
            raise BadInput(f"its points {error.message}", field="stone_file") from None
    if not cut:
        raise BadInput("choose a file, or a cut and its measures", field=f"{part}_file")
    length = data[f"{part}_length"]
    if length is None:
        raise BadInput("is needed", field=f"{part}_length")
    width = length if data[f"{part}_width"] is None else data[f"{part}_width"]
    for name, value in (("length", length), ("width", width)):
        if not 0.5 <= value <= 60:
            raise BadInput(f"must be from 0.5 to 60, and {value:g} is not", field=f"{part}_{name}")
    ring = outlines.outline(drawings.outline_of(cut, length, width)).polygon.exterior
    return np.asarray(ring.coords)[:-1]


def _few(ring: np.ndarray, most: int = 3600) -> np.ndarray:
    return ring[:: max(1, -(-len(ring) // most))]


def gap(data: Mapping[str, Any]) -> tuple[Answer, dict[str, str]]:
    """The gap all round between stone and opening."""
    low, high = (0.05 if data["low"] is None else data["low"], 0.15 if data["high"] is None else data["high"])
    if high < low:
        raise BadInput("must not be less than the least gap wanted", field="high")
    unit = data["unit"] or None
    girdle, opening = (_few(_ring(data, part, unit)) for part in ("stone", "opening"))
    found = gap_round(girdle_mm=girdle, opening_mm=opening, wanted_mm=low, align=data["align"] == "yes")
    drawn_girdle = {"cut": "outline", "points_mm": found.girdle_mm[::2].round(5).tolist()}
    drawn_opening = {"cut": "outline", "points_mm": _few(opening, 720).round(5).tolist()}
    scene = gap_overlay(girdle=drawn_girdle, inner=drawn_opening, low_mm=low, high_mm=high)
    findings = []
    if found.overlap_share > 0:
        words = f"The stone would not go in: it reaches over the opening along {100 * found.overlap_share:.0f} % of its girdle."
        findings.append(Finding(verdict="stop", words=words))
    elif found.below_share > 0:
        words = f"Closer than {low:g} mm along {100 * found.below_share:.0f} % of the girdle."
        findings.append(Finding(verdict="look", words=words))
    if found.greatest_mm > high:
        findings.append(
            Finding(verdict="look", words=f"Wider than {high:g} mm at {_clock(found.greatest_at_deg)}.")
        )
    if not findings:
        findings.append(Finding(verdict="good", words="The gap lies within what is wanted all round."))
    shift = f"{found.shift_mm[0]:+.3f} right, {found.shift_mm[1]:+.3f} up"
    answer = Answer(
        headlines=[Headline(label="Least gap", value=f"{found.least_mm:.3f}", unit="mm",
                            range=f"at {_clock(found.least_at_deg)}"),
                   Headline(label="Greatest gap", value=f"{found.greatest_mm:.3f}", unit="mm",
                            range=f"at {_clock(found.greatest_at_deg)}")],
        findings=findings,
        drawings=[drawn(scene, "The opening laid over the girdle; the band shows the gap several times as wide as it is.")],
        facts=[Fact(label="Mean gap", value=f"{found.mean_mm:.3f} mm"),
               Fact(label="The stone was moved", value=shift),
               Fact(label="and turned", value=f"{found.turn_deg:+.2f}°", note="anticlockwise")],
        caution="A named cut stands for an ordinary stone of that size: for this stone, send its scan.",
        sources=("exact-geometry", "shapely"),
    )  # fmt: skip
    return answer, {}


def _clock(angle: float) -> str:
    return clock_from_angle(angle_deg=angle)


PAGE = Upload(
    name="gap",
    title="A model against the stone",
    does="Whether the stone goes into the opening that was modelled for it, and where the gap is widest.",
    act="Lay it over",
    form=Gap,
    answer=gap,
)
