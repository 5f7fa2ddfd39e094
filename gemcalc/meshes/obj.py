"""OBJ, read line by line so that no file, however it is built, takes more memory than its triangles need."""

from __future__ import annotations

from array import array
from io import BytesIO
from itertools import pairwise

import numpy as np

from gemcalc.meshes.limits import (
    MAX_LINE_BYTES,
    MAX_LINES,
    MAX_TRIANGLES,
    Triangles,
    checked_count,
    refuse,
    triangles_from_faces,
)


def _face(line: bytes, vertices: int) -> list[int]:
    """Indices from 0 of one face; the format counts from 1, or from the end with a minus."""
    corners = [int(part.partition(b"/")[0]) for part in line.split()[1:]]
    if len(corners) < 3 or 0 in corners:
        raise ValueError
    return [corner - 1 if corner > 0 else vertices + corner for corner in corners]


def read_obj(*, content: bytes) -> Triangles:
    """
    Triangles of an OBJ file; a face of more corners is split into a fan, which keeps a flat face's volume.

    Materials, textures and other files that it names are not opened.

    Args:
        content: The whole file.

    Returns:
        Corners, shape (n, 3, 3).

    Raises:
        BadInput: a line cannot be read, or there are too many.
    """
    vertices, faces = array("d"), array("q")
    # A backslash at the end of a line carries it on to the next.
    text = content.replace(b"\\\r\n", b" ").replace(b"\\\n", b" ") if b"\\" in content else content
    for number, raw in enumerate(BytesIO(text), start=1):
        if number > MAX_LINES or len(raw) > MAX_LINE_BYTES:
            raise refuse("this OBJ file has more or longer lines than any model needs: export it again")
        line = raw.lstrip() if raw[:1].isspace() else raw
        kind = line[:2]
        try:
            if kind in (b"v ", b"v\t"):
                words = line.split(None, 4)
                vertices.extend((float(words[1]), float(words[2]), float(words[3])))
            elif kind in (b"f ", b"f\t"):
                corners = _face(line, len(vertices) // 3)
                for second, third in pairwise(corners[1:]):
                    faces.extend((corners[0], second, third))
        except (ValueError, IndexError, OverflowError):
            raise refuse(
                f"line {number:,} of this OBJ file cannot be read: it is damaged, export it again"
            ) from None
        if len(faces) > 3 * MAX_TRIANGLES or len(vertices) > 9 * MAX_TRIANGLES:
            checked_count(triangles=max(len(faces) // 3, len(vertices) // 9))
    if not faces:
        raise refuse("this OBJ file holds no faces: export the solid as a mesh")
    return triangles_from_faces(
        vertices=np.frombuffer(vertices, dtype=np.float64).reshape(-1, 3) if vertices else np.empty((0, 3)),
        faces=np.frombuffer(faces, dtype=np.int64).reshape(-1, 3),
    )
