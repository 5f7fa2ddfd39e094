"""A scanned girdle, fitted."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import numpy as np
from shapely import Polygon

from gemcalc.errors import BadInput
from gemcalc.scan.families import CUTS
from gemcalc.scan.fit import Girdle, fit_girdle
from gemcalc.scan.reading import UNITS, Reading, read_outline
from gemcalc.web import drawings
from gemcalc.web.answer import Act, Answer, Fact, Finding, Headline, drawn, leading
from gemcalc.web.fields import choice, figure, usual, words
from gemcalc.web.halo.form import MEASURES
from gemcalc.web.halo.reading import corners_written
from gemcalc.web.typed import CARATS
from gemcalc.web.uploads.page import Upload, UploadForm, file_box, refused

KINDS = ".csv,.txt,.xyz,.dxf,.svg"
UNIT_CHOICES = [("", "Guess it and show me"), *((unit, unit) for unit in UNITS)]
MOST_KEPT = 12_000
"""Points that the box keeps, so that the unit can be corrected without the file."""

THIN_MM = 0.002
"""How far a thinned outline may leave the fitted one, mm: less than any scan knows."""


class Scan(UploadForm):
    """Boxes for a scanned girdle."""

    file = file_box("File of the scan", KINDS, most="5 MB", required=False)
    points = words("or its points", rows=5, max_length=1_500_000, required=False, help_text="One a line: x y")
    unit = choice("Unit", UNIT_CHOICES)
    cut = choice("Cut, if you know it", [("", "Find it out"), *((word, word.capitalize()) for word in CUTS)])
    weight = figure(CARATS, "Weight, if you know it", required=False, help_text="It settles the unit.")
    names = {"weight_ct": "weight", "points_mm": "points"}


def read(file: Any, typed: str, *, unit: str | None, weight: float | None, box: str = "file") -> Reading:
    """
    Points of a file, or of typed lines where there is no file.

    Raises:
        BadInput: neither is given, or it cannot be read.
    """
    if file is None and not typed.strip():
        raise BadInput("choose a file or give its points", field=box)
    content, name, field = (
        (typed.encode(), "points.txt", "points") if file is None else (file.read(), file.name, box)
    )
    try:
        return read_outline(content=content, name=name, unit=unit, weight_ct=weight)
    except BadInput as error:
        raise refused(field, error) from None


def scan(data: Mapping[str, Any]) -> tuple[Answer, dict[str, str]]:
    """The girdle on which the points lie, and the boxes as they stand afterwards."""
    reading = read(data["file"], data["points"], unit=data["unit"] or None, weight=data["weight"])
    field = "points" if data["file"] is None else "file"
    try:
        girdle = fit_girdle(points_mm=reading.points_mm, cut=data["cut"] or None)
    except BadInput as error:
        raise refused(field, error) from None
    points = reading.points_mm
    scale = UNITS.get(reading.unit, 1.0)
    kept = points[:: max(1, -(-len(points) // MOST_KEPT))] / scale
    boxes = {
        "points": "\n".join(f"{x:.7g} {y:.7g}" for x, y in kept.tolist()),
        "unit": reading.unit if reading.unit in UNITS else "mm",
    }
    return _answer(girdle, reading, kept=len(kept)), boxes


def _answer(girdle: Girdle, reading: Reading, *, kept: int) -> Answer:
    figures, sd = girdle.figures, girdle.sd
    points = reading.points_mm.tolist()
    scene = drawings.girdle_over(girdle.outline_mm.tolist(), points, set(girdle.outlier_indices))
    findings = [_unit_finding(reading)] + [Finding(verdict="look", words=note) for note in girdle.notes]
    findings += [Finding(verdict="look", words=note) for note in reading.notes]
    if kept < len(points):
        words = f"The box keeps {kept:,} of the {len(points):,} points; send the file again for a fit to all of them."
        findings.append(Finding(verdict="look", words=words))
    return Answer(
        headlines=[_measure("Length", figures.length_mm, sd["length_sd_mm"]),
                   _measure("Width", figures.width_mm, sd["width_sd_mm"]),
                   Headline(label="Outline", value=girdle.called.capitalize())],
        findings=findings,
        drawings=[drawn(scene, "The fitted girdle over the scan, mm: rings are points it follows, "
                               "filled dots are points left out.")],
        facts=_facts(girdle),
        why=["Least squares that let no stray point pull (biweight), over every named outline; "
             "the plainest that the points support is taken. Uncertainties are two standard deviations."],
        caution="A scan measures what it sees: clean the girdle, and check one diameter with a calibrated gauge.",
        acts=[_as_centre(girdle)],
        carries={"case": json.dumps({"centre": _carried(girdle)}, separators=(",", ":"))},
        sources=("biweight", "bic", "exact-geometry", "practice"),
    )  # fmt: skip


def _measure(label: str, value: float, sd: float) -> Headline:
    return Headline(label=label, value=f"{value:.3f}", unit="mm", range=f"± {max(2 * sd, 0.0005):.3f}")


def _unit_finding(reading: Reading) -> Finding:
    how = {
        "given": "as you said", "file": "as the file says", "weight": "as the weight wants it",
        "size": "guessed from the size",
    }[reading.how]  # fmt: skip
    others = "; ".join(
        f"in {unit} it would be {larger:.2f} × {smaller:.2f} mm"
        for unit, (larger, smaller) in reading.choices.items()
        if unit != reading.unit
    )
    words = f"Read in {reading.unit}, {how}" + (f": {others}." if others else ".")
    return Finding(verdict="good" if reading.sure else "look", words=words)


def _facts(girdle: Girdle) -> list[Fact]:
    figures, sd = girdle.figures, girdle.sd
    return [
        Fact(label="Least diameter", value=f"{figures.diameter_min_mm:.3f} mm",
             note=f"± {2 * sd['diameter_min_sd_mm']:.3f}"),
        Fact(label="Greatest diameter", value=f"{figures.diameter_max_mm:.3f} mm",
             note=f"± {2 * sd['diameter_max_sd_mm']:.3f}"),
        Fact(label="Length to width", value=f"{figures.length_mm / figures.width_mm:.3f} to 1"),
        Fact(label="Girdle all round", value=f"{figures.perimeter_mm:.3f} mm"),
        Fact(label="Area", value=f"{figures.area_mm2:.3f} mm²"),
        Fact(label="Turned", value=f"{girdle.angle_deg:.2f}°", note=f"± {2 * sd['angle_sd_deg']:.2f}°, anticlockwise"),
        Fact(label="Noise of the scan", value=f"{girdle.noise_mm:.4f} mm"),
        Fact(label="Points left out", value=str(girdle.outliers)),
        Fact(label="Girdle seen", value=f"{girdle.seen_arc_deg:.0f}° of 360°"),
    ]  # fmt: skip


def _as_centre(girdle: Girdle) -> Act:
    centre = girdle.halo_centre
    boxes: dict[str, Any] = {"cut": centre["cut"]}
    for key, value in centre.items():
        if key == "points_mm":
            boxes["points"] = corners_written(thinned(value))
        elif key != "cut":
            boxes[MEASURES[key]] = usual(round(float(value), 4))  # type: ignore[arg-type]
    return leading("Use as the centre of a halo", "halo", **boxes)


def _carried(girdle: Girdle) -> dict[str, object]:
    """The outline as a draft takes it: few enough corners for an address."""
    centre = dict(girdle.halo_centre)
    if "points_mm" in centre:
        centre["points_mm"] = thinned(centre["points_mm"])
    return centre


def thinned(points: Any) -> list[list[float]]:
    """An outline with fewer corners, nowhere farther from it than THIN_MM, so that an address can carry it."""
    ring = Polygon(np.asarray(points, dtype=float)).exterior
    for tolerance in (THIN_MM, 2 * THIN_MM, 4 * THIN_MM):
        corners = np.asarray(ring.simplify(tolerance).coords)[:-1]
        if len(corners) <= 160:
            break
    return [[round(x, 4), round(y, 4)] for x, y in corners.tolist()]


PAGE = Upload(
    name="scan",
    title="A scanned girdle",
    does="From the points of an optical scan to the stone's outline, with how sure each measure is.",
    act="Fit the girdle",
    form=Scan,
    answer=scan,
)
