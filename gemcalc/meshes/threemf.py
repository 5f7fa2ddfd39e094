"""3MF: a zip with XML inside, read as a stream, without entities and within bounds."""

from __future__ import annotations

import zipfile
import zlib
from io import BytesIO
from typing import Any
from xml.etree.ElementTree import ParseError

import numpy as np
from defusedxml.common import DefusedXmlException
from defusedxml.ElementTree import DefusedXMLParser

from gemcalc.meshes.limits import MAX_FILE_BYTES, MAX_TRIANGLES, Triangles, checked_count, refuse
from gemcalc.meshes.threemf_parts import IDENTITY, ModelPart, Piece, Target

UNIT_MM = {
    "micron": 0.001,
    "millimeter": 1.0,
    "centimeter": 10.0,
    "inch": 25.4,
    "foot": 304.8,
    "meter": 1000.0,
}
"""Millimetres in each unit that a 3MF may state. Source: 3mf-core."""

MAX_PARTS = 64
MAX_PLACED = 10_000
MAX_DEPTH = 16
MAX_STILL = 16
"""Chunks of 64 KB without the end of anything."""


def _parse(name: str, archive: zipfile.ZipFile) -> ModelPart:
    target = Target()
    parser = DefusedXMLParser(target=target, forbid_dtd=True)
    # ZipExtFile never yields more than the declared size, and the sum of the declared sizes is bounded.
    events = still = 0
    with archive.open(name) as stream:
        while chunk := stream.read(1 << 16):
            parser.feed(chunk)
            # A single endless tag would be read again from its beginning with every chunk.
            still = still + 1 if target.events == events else 0
            events = target.events
            if still > MAX_STILL:
                raise refuse("the model inside this 3MF holds a tag of more than a megabyte")
    parser.close()
    return target.part


def _parts(content: bytes) -> dict[str, ModelPart]:
    with zipfile.ZipFile(BytesIO(content)) as archive:
        entries = [entry for entry in archive.infolist() if entry.filename.lower().endswith(".model")]
        if not entries:
            raise refuse("this 3MF holds no model")
        if len(entries) > MAX_PARTS:
            raise refuse(f"this 3MF is made of {len(entries)} models and at most {MAX_PARTS} are read")
        if sum(entry.file_size for entry in entries) > MAX_FILE_BYTES:
            raise refuse(f"this 3MF unpacks to more than {MAX_FILE_BYTES // 1024**2} MB and is not read")
        return {"/" + entry.filename.lstrip("/"): _parse(entry.filename, archive) for entry in entries}


def _placed(parts: dict[str, ModelPart], root: str) -> list[tuple[Piece, np.ndarray[Any, Any]]]:
    """Every mesh with the transform under which it is built, counted before anything is multiplied out."""
    placed: list[tuple[Piece, np.ndarray[Any, Any]]] = []
    triangles = visits = 0
    items = parts[root].items or [(root, piece, IDENTITY) for piece in parts[root].pieces]
    stack = [(path or root, number, matrix, 0) for path, number, matrix in items]
    while stack:
        path, number, matrix, depth = stack.pop()
        visits += 1
        if visits > MAX_PLACED or depth > MAX_DEPTH:
            raise refuse("the parts of this 3MF are nested or repeated too often to be read")
        part = parts.get(path)
        piece = part.pieces.get(number) if part else None
        if piece is None:
            raise refuse("this 3MF places a part that is not in it: it is damaged, export it again")
        if piece.triangles:
            triangles += len(piece.triangles) // 3
            if triangles > MAX_TRIANGLES:
                checked_count(triangles=triangles)
            placed.append((piece, matrix))
        for inner_path, inner, inner_matrix in piece.components:
            stack.append((inner_path or path, inner, inner_matrix @ matrix, depth + 1))
    return placed


def _corners(piece: Piece, matrix: np.ndarray[Any, Any]) -> Triangles:
    vertices = np.frombuffer(piece.vertices, dtype=np.float64).reshape(-1, 3)
    faces = np.frombuffer(piece.triangles, dtype=np.int64).reshape(-1, 3)
    if not len(vertices) or int(faces.min()) < 0 or int(faces.max()) >= len(vertices):
        raise refuse(
            "some triangles point at corners that are not in the file: it is damaged, export it again"
        )
    if np.linalg.det(matrix[:3, :3]) < 0:
        # A mirrored part would be inside out.
        faces = faces[:, ::-1]
    corners: Triangles = (vertices @ matrix[:3, :3] + matrix[3, :3])[faces]
    return corners


def read_3mf(*, content: bytes) -> tuple[Triangles, list[str]]:
    """
    Triangles of a 3MF file in mm: the file states its unit.

    Args:
        content: The whole file.

    Returns:
        Corners, shape (n, 3, 3), mm, and notes in words.

    Raises:
        BadInput: the file is damaged, unpacks to too much, nests without end, or holds a document type.
    """
    try:
        parts = _parts(content)
        root = next((path for path in parts if path.lower() == "/3d/3dmodel.model"), next(iter(parts)))
        unit = parts[root].unit
        if unit not in UNIT_MM:
            raise refuse(f"this 3MF states its unit as {unit[:20]!r}, which is none of {', '.join(UNIT_MM)}")
        with np.errstate(all="ignore"):
            # Numbers too large for the arithmetic become infinities here and are refused as such later on.
            corners = [_corners(piece, matrix) for piece, matrix in _placed(parts, root)]
            if not corners:
                checked_count(triangles=0)
            triangles: Triangles = np.concatenate(corners) * UNIT_MM[unit]
    except DefusedXmlException:
        raise refuse(
            "this 3MF holds a document type or entities, which no model needs: it is not read"
        ) from None
    except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError):
        raise refuse("this 3MF is damaged, encrypted or cut short: export or send it again") from None
    except (ParseError, LookupError, UnicodeError, OverflowError) as error:
        raise refuse("the model inside this 3MF cannot be read: export it again") from error
    return triangles, [f"The file states its unit: {unit}."]
