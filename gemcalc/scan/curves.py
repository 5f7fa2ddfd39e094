"""Curves drawn in a file: chosen, closed and spaced evenly, ready to be fitted."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.scan.distances import Floats

EVEN_POINTS = 720
SCANNED_VERTICES = 48
MOST_PIECES = 20_000
MOST_DRAWN = 200_000


@dataclass(frozen=True)
class Drawn:
    """
    What a file holds, in its own unit, y up.

    Args:
        pieces: Curves as points in order, open or closed; straight between their points.
        loose: Single points in no order (count, 2).
        mm_per_unit: From the file's own header, None where it does not say.
        unit: That unit's word.
        curved: Whether any piece was drawn with arcs or curves, not as a chain of measured points.
        notes: What was left out or changed, in words.
    """

    pieces: Sequence[Floats]
    loose: Floats
    mm_per_unit: float | None = None
    unit: str = ""
    curved: bool = False
    notes: tuple[str, ...] = ()


def _extent(points: Floats) -> float:
    return float(np.hypot(*np.ptp(points, axis=0)))


def _joined(pieces: Sequence[Floats]) -> list[Floats]:
    """The pieces joined where their ends meet."""
    if len(pieces) < 2:
        return list(pieces)
    from shapely import LineString, MultiLineString
    from shapely.ops import linemerge

    extent = _extent(np.vstack(pieces))
    digits = int(np.clip(6 - np.floor(np.log10(max(extent, 1e-9))), 0, 12))
    lines = [LineString(np.round(piece, digits)) for piece in pieces if len(piece) > 1 and _extent(piece) > 0]
    if not lines:
        return []
    merged = linemerge(MultiLineString(lines))
    parts = merged.geoms if hasattr(merged, "geoms") else [merged]
    return [np.asarray(part.coords, dtype=np.float64)[:, :2] for part in parts]


def _evenly(curve: Floats) -> Floats:
    """The curve at equal steps along it."""
    steps = np.hypot(*np.diff(curve, axis=0).T)
    place = np.concatenate(([0.0], np.cumsum(steps)))
    wanted = np.linspace(0, place[-1], EVEN_POINTS, endpoint=False)
    return np.column_stack((np.interp(wanted, place, curve[:, 0]), np.interp(wanted, place, curve[:, 1])))


def outline_points(drawn: Drawn) -> tuple[Floats, tuple[str, ...]]:
    """
    Points of the largest outline in a file, in the file's unit, and notes in words.

    A chain of many measured points is taken as it is, so that its noise stays what it was;
    a drawn curve is spaced evenly.

    Raises:
        BadInput: there is no outline, or too much of everything.
    """
    if len(drawn.pieces) > MOST_PIECES:
        raise BadInput(f"holds more than {MOST_PIECES:,} lines: export the girdle alone", field="file")
    if sum(map(len, drawn.pieces)) + len(drawn.loose) > MOST_DRAWN:
        raise BadInput(f"holds more than {MOST_DRAWN:,} points: export the girdle alone", field="file")
    notes = list(drawn.notes)
    everything = [*drawn.pieces, drawn.loose]
    if not all(np.isfinite(part).all() for part in everything):
        raise BadInput("holds a number that is not finite", field="file")
    curves = [curve for curve in _joined(drawn.pieces) if len(curve) > 1 and _extent(curve) > 0]
    if not curves:
        if not len(drawn.loose):
            raise BadInput("holds no outline: lines, curves or points are needed", field="file")
        return drawn.loose, tuple(notes)
    largest = max(curves, key=_extent)
    if len(curves) > 1:
        notes.append(f"{len(curves)} outlines were found; the largest is used.")
    steps = np.hypot(*np.diff(largest, axis=0).T)
    gap = float(np.hypot(*(largest[0] - largest[-1])))
    if 0 < gap <= max(3 * float(np.median(steps)), 0.01 * _extent(largest)):
        largest = np.vstack((largest, largest[:1]))
        steps = np.append(steps, gap)
    measured = len(largest) >= SCANNED_VERTICES and float(steps.max()) <= 0.1 * float(steps.sum())
    if measured and not drawn.curved:
        return largest, tuple(notes)
    return _evenly(largest), tuple(notes)
