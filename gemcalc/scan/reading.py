"""A file of a scanned girdle: which format, which unit, which points."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from gemcalc.errors import BadInput, in_range
from gemcalc.scan.curves import Drawn, outline_points
from gemcalc.scan.distances import Floats
from gemcalc.scan.dxf import read_dxf
from gemcalc.scan.svg import read_svg
from gemcalc.scan.table import read_table

MOST_BYTES = 5_000_000
FORMATS = ("csv", "txt", "xyz", "dxf", "svg")
UNITS = {"mm": 1.0, "inch": 25.4, "µm": 0.001, "cm": 10.0, "px": 25.4 / 96, "mil": 0.0254, "m": 1000.0}
"""Millimetres per unit; px is the CSS pixel, 1/96 inch."""

GUESSES = (("mm", 2.0, 40.0), ("inch", 0.08, 1.6), ("µm", 2000.0, 40_000.0))
"""Sizes in the file that speak for a unit: stones are 2 to 40 mm across. Source: practice."""

ROUND_MM_PER_CUBE_ROOT_CT = 6.5
"""Diameter of a one-carat round brilliant, mm. Source: practice."""


@dataclass(frozen=True, kw_only=True)
class Reading:
    """
    Points read from a file, in mm.

    Args:
        points_mm: The points (count, 2).
        unit: Unit in which the file was taken to be.
        how: Why: ``given`` by the user, ``file`` (its header), ``weight`` of the stone, or ``size``.
        sure: False where the user should look and may want to correct it.
        choices: What the size would be in every likely unit: unit to (larger, smaller) in mm.
        notes: What was left out or chosen, in words.
    """

    points_mm: Floats
    unit: str
    how: str
    sure: bool
    choices: dict[str, tuple[float, float]]
    notes: tuple[str, ...]


def _sizes(points: Floats) -> tuple[float, float]:
    """Larger and smaller extent of the points, the farthest 1 % at each end left out."""
    low, high = np.percentile(points, (1, 99), axis=0)
    smaller, larger = sorted(float(value) for value in high - low)
    return larger, smaller


def _guess(larger: float, smaller: float, *, pixels: bool, weight_ct: float | None) -> tuple[str, str, bool]:
    """Unit, why, and whether it is sure."""
    likely = ["px", "mm", "inch"] if pixels else ["mm", "inch", "µm"]
    if weight_ct is not None:
        expected = ROUND_MM_PER_CUBE_ROOT_CT * weight_ct ** (1 / 3)
        mean = max((larger * smaller) ** 0.5, 1e-9)
        off = {unit: abs(float(np.log(mean * UNITS[unit] / expected))) for unit in likely}
        best = min(likely, key=lambda unit: off[unit])
        if off[best] < 0.3:
            return best, "weight", True
    if pixels:
        # A pixel and a millimetre overlap: 25 may be a 25 px or a 25 mm drawing of a stone.
        return ("mm" if larger < 12 else "px"), "size", False
    for unit, low, high in GUESSES:
        if low <= larger <= high:
            return unit, "size", True
    return "mm", "size", False


def _drawn(content: bytes, kind: str) -> Drawn:
    start = content[:400].lstrip(b"\xef\xbb\xbf \t\r\n").lower()
    if kind == "svg" or start.startswith((b"<?xml", b"<svg", b"<!--")):
        return read_svg(content)
    if (
        kind == "dxf"
        or start.startswith(b"autocad binary dxf")
        or (start[:1] == b"0" and b"section" in start[:40])
    ):
        return read_dxf(content)
    return read_table(content)


def read_outline(
    *, content: bytes, name: str, unit: str | None = None, weight_ct: float | None = None
) -> Reading:
    """
    Points of the largest outline in a file of a scan.

    Args:
        content: The file's bytes, at most 5 MB (2 MB for SVG).
        name: The file's name; only its ending is used (csv, txt, xyz, dxf, svg).
        unit: The user's word for the unit, which wins over everything; None to guess and show.
        weight_ct: The stone's weight where known, ct, 0.001 to 1000: it settles the unit.

    Returns:
        The points in mm with the unit taken, why, and what the size would be in others.

    Raises:
        BadInput: the format, the unit or the content cannot be used; ``field`` is ``file`` or ``unit``.
        OutOfRange: *weight_ct* is outside its range.

    Source:
        practice

    >>> rows = "x;y\\n" + "\\n".join(f"{place % 7},5;{place // 7},25" for place in range(49))
    >>> reading = read_outline(content=rows.encode(), name="stone.csv")
    >>> reading.unit, reading.how, reading.choices["mm"]
    ('mm', 'size', (6.0, 6.0))
    """
    if weight_ct is not None:
        in_range(field="weight_ct", value=weight_ct, low=0.001, high=1000)
    if unit is not None and unit not in UNITS:
        raise BadInput(f"must be one of {', '.join(UNITS)}", field="unit")
    kind = name.rpartition(".")[2].lower()
    if kind not in FORMATS:
        raise BadInput(f"must be one of {', '.join(FORMATS)}", field="file")
    if not content.strip():
        raise BadInput("is empty", field="file")
    if len(content) > MOST_BYTES:
        raise BadInput("is larger than 5 MB: export the girdle alone", field="file")
    drawn = _drawn(content, kind)
    points, notes = outline_points(drawn)
    if np.abs(points).max() > 1e7:
        raise BadInput("has a point too far away to belong to a stone", field="file")
    larger, smaller = _sizes(points)
    if larger <= 0:
        raise BadInput("has all its points in one place", field="file")
    pixels = kind == "svg" and drawn.mm_per_unit is None
    if unit is not None:
        taken, how, sure, scale = unit, "given", True, UNITS[unit]
    elif drawn.mm_per_unit is not None:
        scale = drawn.mm_per_unit
        taken, how, sure = drawn.unit, "file", 1 <= larger * scale <= 60
    else:
        taken, how, sure = _guess(larger, smaller, pixels=pixels, weight_ct=weight_ct)
        scale = UNITS[taken]
    shown = ("mm", "inch", "px") if pixels else ("mm", "inch", "µm")
    choices = {word: (larger * UNITS[word], smaller * UNITS[word]) for word in shown}
    return Reading(points_mm=points * scale, unit=taken, how=how, sure=sure, choices=choices, notes=notes)
