"""OBJ and PLY, read by trimesh behind our own bounds."""

from __future__ import annotations

import re
from io import BytesIO
from typing import Literal

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.meshes.limits import MAX_TRIANGLES, Triangles, refuse, triangles_from_faces

_PLY_HEADER_BYTES = 64 * 1024
_PLY_ELEMENT = re.compile(rb"^\s*element\s+(\S+)\s+(\S+)", re.MULTILINE)


def _faces_of_ply(content: bytes) -> int:
    """Counts are believed only when the file is long enough to hold them: two bytes an entry at the least."""
    header, end, _ = content[:_PLY_HEADER_BYTES].partition(b"end_header")
    if not content.startswith(b"ply") or not end:
        raise refuse("this is not a PLY file: its header is missing or does not end")
    faces = 0
    for name, count in _PLY_ELEMENT.findall(header):
        if not count.isdigit() or len(count) > 12:
            raise refuse("the header of this PLY file counts something that is not a number")
        if int(count) > 3 * MAX_TRIANGLES or int(count) * 2 > len(content):
            label = name.decode("ascii", "replace")[:20]
            raise refuse(
                f"this PLY says it has {int(count):,} of {label!r}, more than it can hold or than is read"
            )
        if name == b"face":
            faces = int(count)
    return faces


def _faces_of_obj(content: bytes) -> int:
    faces = content.count(b"\nf ") + content.count(b"\nf\t") + content.startswith((b"f ", b"f\t"))
    if not faces:
        raise refuse("this OBJ file holds no faces: export the solid as a mesh")
    if faces > MAX_TRIANGLES:
        raise refuse(
            f"this OBJ has {faces:,} faces and at most {MAX_TRIANGLES:,} are read: export a coarser mesh"
        )
    return faces


def read_indexed(*, content: bytes, kind: Literal["obj", "ply"]) -> Triangles:
    """
    Triangles of an OBJ or PLY file; faces of more corners are split.

    Materials, textures and other files that it names are not opened.

    Args:
        content: The whole file.
        kind: ``obj`` or ``ply``.

    Returns:
        Corners, shape (n, 3, 3).

    Raises:
        BadInput: the file is damaged, cut short, or too large.
    """
    declared = _faces_of_ply(content) if kind == "ply" else _faces_of_obj(content)
    # trimesh takes half a second to load: only those who bring such a file pay for it.
    import trimesh

    try:
        mesh = trimesh.load_mesh(
            BytesIO(content), file_type=kind, process=False, skip_materials=True, resolver=None
        )
        vertices = np.asarray(mesh.vertices, dtype=np.float64)
        faces = np.asarray(mesh.faces, dtype=np.int64)
    except BadInput:
        raise
    except Exception:
        # The library answers damaged bytes with whatever its arrays happen to raise.
        raise refuse(f"this {kind.upper()} file is damaged or cut short: export or send it again") from None
    if len(faces) < declared:
        # The library takes a file that breaks off as one with fewer faces.
        raise refuse(
            f"this {kind.upper()} says it has {declared:,} faces but {len(faces):,} can be read: "
            "it was cut short or damaged, export or send it again"
        )
    return triangles_from_faces(vertices=vertices, faces=faces)
