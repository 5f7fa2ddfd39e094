"""Curves of an SVG drawing: checked by defusedxml, read by svgelements; references and copies are refused."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from typing import Any
from xml.etree import ElementTree

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.scan.curves import MOST_DRAWN, Drawn
from gemcalc.scan.distances import Floats

MOST_BYTES = 2_000_000
MOST_ELEMENTS = 5_000
MOST_CURVE_NUMBERS = 40_000
MOST_BENT_POINTS = 50_000
MOST_DEPTH = 60
PER_CURVE = 400
LENGTH = re.compile(r"\s*([0-9]{1,9}(?:\.[0-9]{0,9})?(?:[eE][+-]?[0-9]{1,2})?)\s*(mm|cm|in|pt|pc|px|)\s*")
MM = {"mm": 1.0, "cm": 10.0, "in": 25.4, "pt": 25.4 / 72, "pc": 25.4 / 6}
"""Absolute lengths of CSS Values and Units, Level 3."""


def _tree(content: bytes) -> Any:
    if len(content) > MOST_BYTES:
        raise BadInput("is larger than 2 MB: export the girdle alone", field="file")
    from defusedxml import ElementTree as Defused

    try:
        return Defused.fromstring(content, forbid_dtd=True, forbid_entities=True, forbid_external=True)
    except Exception:
        # Not well formed, entities, or something outside it: to the user one refusal.
        raise BadInput(
            "is not a plain SVG drawing (no document type or entities are taken)", field="file"
        ) from None


def _check(root: Any) -> None:
    stack = [(root, 0)]
    count = numbers = 0
    while stack:
        element, depth = stack.pop()
        count += 1
        tag = str(element.tag).rpartition("}")[2]
        if count > MOST_ELEMENTS or depth > MOST_DEPTH:
            raise BadInput("holds too many elements: export the girdle alone", field="file")
        path = element.get("d", "")
        if re.search(r"[AaCcQqSsTt]", path):
            numbers += len(re.findall(r"\d+", path))
        if numbers > MOST_CURVE_NUMBERS:
            raise BadInput("holds too many curves: export the girdle alone", field="file")
        if tag in ("use", "symbol", "pattern", "foreignObject"):
            raise BadInput(f"draws by reference ({tag}): export the girdle as a plain path", field="file")
        stack.extend((child, depth + 1) for child in element)


def _scale(root: Any) -> float | None:
    """Millimetres per user unit from width, height and viewBox; None where no absolute length is given."""
    box = [float(part) for part in re.findall(r"[-+]?\d{1,9}(?:\.\d{0,9})?", root.get("viewBox", ""))]
    scales = []
    for name, place in (("width", 2), ("height", 3)):
        found = LENGTH.fullmatch(root.get(name, ""))
        if found and found[2] in MM:
            size = float(found[1]) * MM[found[2]]
            # Without a viewBox a user unit is a CSS pixel, 1/96 inch.
            scales.append(size / box[place] if len(box) == 4 and box[place] > 0 else 25.4 / 96)
    return min(scales) if scales and min(scales) > 0 else None


def _bends(segments: Sequence[Any]) -> int:
    from svgelements import Close, Line, Move

    return sum(not isinstance(segment, Line | Close | Move) for segment in segments)


def _pieces(segments: Sequence[Any], per_curve: int) -> list[Floats]:
    from svgelements import Close, Line, Move

    pieces: list[Floats] = []
    points: list[tuple[float, float]] = []
    for segment in segments:
        if isinstance(segment, Move):
            pieces.append(np.array(points, dtype=np.float64).reshape(-1, 2))
            points = []
        if segment.end is None:
            continue
        if isinstance(segment, Line | Close | Move):
            points.append((segment.end.x, segment.end.y))
            continue
        bent = (segment.point(place / per_curve) for place in range(1, per_curve + 1))
        points.extend((point.x, point.y) for point in bent)
    pieces.append(np.array(points, dtype=np.float64).reshape(-1, 2))
    return [piece for piece in pieces if len(piece) > 1]


def read_svg(content: bytes) -> Drawn:
    """
    Paths, polygons, circles, ellipses and lines of an SVG, y turned up;
    user units become mm where the file says how.

    Raises:
        BadInput: it is no plain SVG, draws by reference, or holds too much.
    """
    root = _tree(content)
    if str(root.tag).rpartition("}")[2] != "svg":
        raise BadInput("is not an SVG drawing", field="file")
    _check(root)
    scale = _scale(root)
    # The scale is known from here on: the library shall hand out plain user units.
    for name in ("width", "height", "viewBox", "preserveAspectRatio"):
        root.attrib.pop(name, None)
    from svgelements import SVG, Path, Shape

    try:
        drawing = SVG.parse(io.BytesIO(ElementTree.tostring(root)), reify=True)
        paths = [list(Path(one).segments()) for one in drawing.elements() if isinstance(one, Shape)]
        bends = sum(map(_bends, paths))
        if sum(map(len, paths)) > MOST_DRAWN:
            raise BadInput("holds too many points: export the girdle alone", field="file")
        per_curve = min(max(MOST_BENT_POINTS // max(bends, 1), 4), PER_CURVE)
        pieces = [piece for path in paths for piece in _pieces(path, per_curve)]
    except BadInput:
        raise
    except Exception:
        # The library meets broken paths with many kinds of error; to the user they are one.
        raise BadInput("holds a path that cannot be read", field="file") from None
    flipped = [piece * np.array([1.0, -1.0]) for piece in pieces]
    unit = "mm" if scale else ""
    return Drawn(flipped, np.empty((0, 2)), mm_per_unit=scale, unit=unit, curved=bends > 0)
