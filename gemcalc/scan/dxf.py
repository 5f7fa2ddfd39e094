"""Curves of a DXF drawing, read by ezdxf; a bulge is an arc, blocks are not opened."""

from __future__ import annotations

import io
from typing import Any

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.scan.curves import MOST_DRAWN, MOST_PIECES, Drawn
from gemcalc.scan.distances import Floats

UNITS = {
    1: ("inch", 25.4),
    4: ("mm", 1.0),
    5: ("cm", 10.0),
    6: ("m", 1000.0),
    9: ("mil", 0.0254),
    13: ("µm", 0.001),
}
"""$INSUNITS codes and their millimetres (DXF reference, header variables). Other codes are asked about."""

CURVED = ("ARC", "CIRCLE", "ELLIPSE", "SPLINE")
KNOWN = (*CURVED, "LINE", "LWPOLYLINE", "POLYLINE")
MOST_CONTROLS = 5_000
ARC_PARTS = 16
FLATNESS = 2e-6


def _document(content: bytes) -> Any:
    if content.startswith(b"AutoCAD Binary DXF"):
        raise BadInput("is a binary DXF: save it as text (ASCII) DXF", field="file")
    from ezdxf import recover

    try:
        document, _ = recover.read(io.BytesIO(content))
    except Exception:
        # The reader meets damaged files with many kinds of error; to the user they are one.
        raise BadInput("is not a DXF drawing that can be read", field="file") from None
    return document


def _bulged(entity: Any) -> bool:
    if entity.dxftype() == "LWPOLYLINE":
        return bool(entity.has_arc)
    if entity.dxftype() == "POLYLINE":
        return any(vertex.dxf.get("bulge", 0) for vertex in entity.vertices)
    return entity.dxftype() in CURVED


def _piece(entity: Any) -> Floats | None:
    """The entity's points, arcs flattened to 2 millionths of its own size."""
    from ezdxf import path

    if entity.dxftype() == "SPLINE" and len(entity.control_points) + len(entity.fit_points) > MOST_CONTROLS:
        raise BadInput("holds a spline of too many points: export the girdle as a polyline", field="file")
    # The library draws arcs by cubic curves: one for a quarter turn would be 0.8 µm off on a stone.
    curve = path.make_path(entity, segments=ARC_PARTS)
    controls = np.array([(point.x, point.y) for point in curve.control_vertices()], dtype=np.float64)
    if len(controls) < 2 or not np.isfinite(controls).all():
        return None
    extent = float(np.hypot(*np.ptp(controls, axis=0)))
    if not 0 < extent < 1e9:
        return None
    points = [(point.x, point.y) for point in curve.flattening(extent * FLATNESS, segments=4)]
    return np.array(points, dtype=np.float64)


def read_dxf(content: bytes) -> Drawn:
    """
    Lines, arcs, polylines, ellipses, splines and points of a DXF's model space.

    Raises:
        BadInput: it is no DXF, or holds too much.
    """
    document = _document(content)
    pieces: list[Floats] = []
    loose: list[tuple[float, float]] = []
    skipped: dict[str, int] = {}
    curved = False
    total = 0
    for count, entity in enumerate(document.modelspace()):
        kind = entity.dxftype()
        if count > MOST_PIECES or total > MOST_DRAWN:
            raise BadInput("holds too many entities: export the girdle alone", field="file")
        if kind == "POINT":
            loose.append((entity.dxf.location.x, entity.dxf.location.y))
            continue
        if kind not in KNOWN or (
            kind == "POLYLINE" and not entity.is_2d_polyline and not entity.is_3d_polyline
        ):
            skipped[kind] = skipped.get(kind, 0) + 1
            continue
        try:
            piece = _piece(entity)
        except BadInput:
            raise
        except Exception:
            # One entity that the library cannot follow does not spoil the rest.
            piece = None
        if piece is None:
            skipped[kind] = skipped.get(kind, 0) + 1
            continue
        curved = curved or _bulged(entity)
        total += len(piece)
        pieces.append(piece)
    code = document.header.get("$INSUNITS", 0)
    unit, scale = UNITS.get(code, ("", None))
    notes = tuple(f"{count} × {kind} left out." for kind, count in sorted(skipped.items()))
    points = np.array(loose, dtype=np.float64).reshape(-1, 2)
    return Drawn(pieces, points, mm_per_unit=scale, unit=unit, curved=curved, notes=notes)
