"""``python -m gemcalc scan``: scanned points in, a smooth girdle with its uncertainties out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.cli.reading import word
from gemcalc.errors import BadInput
from gemcalc.scan.checks import MOST_POINTS
from gemcalc.scan.families import CUTS
from gemcalc.scan.fit import Girdle, fit_girdle

SOURCES = ["biweight", "bic", "exact-geometry", "practice"]


def _points(data: Mapping[str, Any]) -> list[list[float]]:
    value = data.get("points_mm")
    if value is None:
        raise BadInput("is needed: a list of [x, y] pairs in mm", field="points_mm")
    if not isinstance(value, list):
        raise BadInput("must be a list of [x, y] pairs in mm", field="points_mm")
    if len(value) > MOST_POINTS:
        raise BadInput(f"has {len(value)} points: at most {MOST_POINTS:,} can be taken", field="points_mm")
    for place, point in enumerate(value, start=1):
        pair = isinstance(point, list) and len(point) == 2
        if not pair or any(isinstance(item, bool) or not isinstance(item, int | float) for item in point):
            raise BadInput(f"point {place} must be a pair of numbers [x, y]", field="points_mm")
    return value


def _pairs(points: Any) -> list[list[float]]:
    return [[round(x, 6), round(y, 6)] for x, y in points.tolist()]


def girdle_object(girdle: Girdle) -> dict[str, Any]:
    """The fitted girdle as a plain object; lengths mm, angles degrees, area mm²."""
    figures = girdle.figures
    return {
        "centre_mm": [girdle.centre_mm[0], girdle.centre_mm[1]],
        "angle_deg": girdle.angle_deg,
        "length_mm": figures.length_mm,
        "width_mm": figures.width_mm,
        "diameter_min_mm": figures.diameter_min_mm,
        "diameter_max_mm": figures.diameter_max_mm,
        "perimeter_mm": figures.perimeter_mm,
        "area_mm2": figures.area_mm2,
        "outliers": girdle.outliers,
        "noise_mm": girdle.noise_mm,
        "outline_mm": _pairs(girdle.outline_mm),
        "family": girdle.called,
        "parameters": girdle.parameters,
        "waves": girdle.waves,
        **girdle.sd,
        "seen_arc_deg": girdle.seen_arc_deg,
        "widest_hole_deg": girdle.widest_hole_deg,
        "outlier_indices": list(girdle.outlier_indices),
        "halo_centre": girdle.halo_centre,
        "notes": list(girdle.notes),
        "sources": SOURCES,
    }


def scan(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    The girdle on which the points lie.

    Raises:
        BadInput: the points or the cut cannot be used, naming which.
    """
    cut = word(data, "cut", choices=tuple(CUTS), default=None)
    return girdle_object(fit_girdle(points_mm=_points(data), cut=cut))
