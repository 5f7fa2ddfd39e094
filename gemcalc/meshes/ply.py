"""PLY, read by trimesh behind our own bounds."""

from __future__ import annotations

import re
from io import BytesIO

import numpy as np

from gemcalc.meshes.limits import (
    MAX_LINE_BYTES,
    MAX_PLY_BYTES,
    MAX_TRIANGLES,
    Triangles,
    refuse,
    triangles_from_faces,
)

MAX_ROWS_IN_WORDS = 1_000_000
"""Most lines of a PLY in words: the library takes 400 bytes for each."""

_HEADER_BYTES = 64 * 1024
_ELEMENT = re.compile(rb"^\s*element\s+(\S+)\s+(\S+)", re.MULTILINE)
_LINE_ENDS = (
    b"\n",
    b"\r",
    b"\x0b",
    b"\x0c",
    b"\x1c",
    b"\x1d",
    b"\x1e",
    b"\xc2\x85",
    b"\xe2\x80\xa8",
    b"\xe2\x80\xa9",
)
"""Everything at which Python's text breaks into lines."""


def _checked_header(content: bytes) -> int:
    """
    How many faces the header declares.

    Counts are believed only when the file is long enough to hold them: two bytes an entry at the least.
    """
    header, end, _ = content[:_HEADER_BYTES].partition(b"end_header")
    if not content.startswith(b"ply") or not end:
        raise refuse("this is not a PLY file: its header is missing or does not end")
    faces = total = 0
    for name, count in _ELEMENT.findall(header):
        if not count.isdigit() or len(count) > 12:
            raise refuse("the header of this PLY file counts something that is not a number")
        total += int(count)
        if total > 2 * MAX_TRIANGLES or int(count) * 2 > len(content):
            label = name.decode("ascii", "replace")[:20]
            raise refuse(
                f"this PLY says it has {int(count):,} of {label!r}, more than it can hold or than is read"
            )
        if name == b"face":
            faces = int(count)
    if b"ascii" in header:
        _check_words(content, total)
    return faces


def _check_words(content: bytes, rows: int) -> None:
    """Every line costs the library hundreds of bytes: no more of them than the header declares."""
    if rows > MAX_ROWS_IN_WORDS:
        raise refuse(
            f"this PLY has {rows:,} lines of words and at most {MAX_ROWS_IN_WORDS:,} are read: "
            "export it in binary"
        )
    if sum(content.count(mark) for mark in _LINE_ENDS) > 2 * rows + 2000:
        raise refuse("this PLY has more lines than its header declares: export it again, best in binary")
    if any(len(line) > MAX_LINE_BYTES for line in BytesIO(content)):
        raise refuse("this PLY has longer lines than any model needs: export it again, best in binary")


def read_ply(*, content: bytes) -> Triangles:
    """
    Triangles of a PLY file; faces of more corners are split.

    Textures and other files that it names are not opened.

    Args:
        content: The whole file, at most 64 MB.

    Returns:
        Corners, shape (n, 3, 3).

    Raises:
        BadInput: the file is damaged, cut short, or too large.
    """
    if len(content) > MAX_PLY_BYTES:
        raise refuse(
            f"this PLY is larger than {MAX_PLY_BYTES // 1024**2} MB and is not read: export a binary STL"
        )
    declared = _checked_header(content)
    # trimesh takes half a second to load: only those who bring such a file pay for it.
    import trimesh

    try:
        mesh = trimesh.load_mesh(
            BytesIO(content), file_type="ply", process=False, skip_materials=True, resolver=None
        )
        vertices = np.asarray(mesh.vertices, dtype=np.float64)
        faces = np.asarray(mesh.faces, dtype=np.int64)
    except Exception:
        # The library answers damaged bytes with whatever its arrays happen to raise.
        raise refuse(
            "this PLY file is damaged, cut short, or mixes triangles with larger faces: export triangles only"
        ) from None
    if len(faces) < declared:
        # The library takes a file that breaks off as one with fewer faces.
        raise refuse(
            f"this PLY says it has {declared:,} faces but {len(faces):,} can be read: "
            "it was cut short or damaged, export or send it again"
        )
    return triangles_from_faces(vertices=vertices, faces=faces)
