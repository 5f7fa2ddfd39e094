"""A scan of the stone and the seat it gives: pure, from a file's bytes to an outline with its uncertainties."""

from __future__ import annotations

import numpy as np
import shapely

from commissions.design.models import RevisionFile
from gemcalc.errors import BadInput
from gemcalc.scan.fit import fit_girdle
from gemcalc.scan.reading import read_outline

THIN_MM = 0.001
"""How far a kept outline may leave the fitted one, mm: less than a scan knows."""

MOST_CORNERS = 240


def seat_of(
    *,
    content: bytes,
    row: RevisionFile,
    unit: str | None = None,
    cut: str | None = None,
    weight_ct: float | None = None,
) -> dict:
    """
    The centre's part of a design from a scan: outline in mm, and where it comes from.

    Uncertainties are two standard deviations, mm.

    Raises:
        BadInput: the scan cannot be read or fitted.
    """
    reading = read_outline(content=content, name=f"scan.{row.form}", unit=unit, weight_ct=weight_ct)
    try:
        girdle = fit_girdle(points_mm=reading.points_mm, cut=cut)
    except BadInput as error:
        raise BadInput(f"the scan: {error.message}", field="file") from None
    outline = dict(girdle.halo_centre)
    if "points_mm" in outline:
        outline["points_mm"] = _thinned(outline["points_mm"])
    return {
        "outline": outline,
        "from": "scan",
        "scan": {
            "file": row.sha256,
            "name": row.name,
            "unit": reading.unit,
            "points": len(reading.points_mm),
            "left_out": girdle.outliers,
            "seen_deg": round(girdle.seen_arc_deg),
            "length_mm": round(girdle.figures.length_mm, 4),
            "width_mm": round(girdle.figures.width_mm, 4),
            "length_within_mm": round(2 * girdle.sd["length_sd_mm"], 4),
            "width_within_mm": round(2 * girdle.sd["width_sd_mm"], 4),
            "noise_mm": round(girdle.noise_mm, 4),
        },
    }


def _thinned(points: list) -> list[list[float]]:
    ring = shapely.Polygon(np.asarray(points, dtype=float)).exterior
    for tolerance in (THIN_MM, 2 * THIN_MM, 4 * THIN_MM):
        corners = np.asarray(ring.simplify(tolerance).coords)[:-1]
        if len(corners) <= MOST_CORNERS:
            break
    return [[round(x, 4), round(y, 4)] for x, y in corners.tolist()]
