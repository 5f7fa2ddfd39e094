"""Bounds on model files, and the checks that every reader shares."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from gemcalc.errors import BadInput

MAX_FILE_BYTES = 200 * 1024 * 1024
"""Largest model file that is read, bytes; for a 3MF this bounds what it unpacks to as well."""

MAX_TRIANGLES = 2_000_000
"""Most triangles that are read; a detailed ring has 50,000 to 500,000."""

MAX_LINES = 8 * MAX_TRIANGLES
"""Most lines of a model written in words; an STL takes seven for a triangle."""

MAX_LINE_BYTES = 100_000
"""Longest line of a model written in words, bytes."""

MAX_PLY_BYTES = 64 * 1024 * 1024
"""Largest PLY file that is read, bytes: a million triangles take 19 MB in binary."""

MAX_LENGTH = 100_000.0
"""Largest coordinate that is believed, in the file's own unit."""

Triangles = NDArray[np.floating]
"""Corners of every triangle, shape (n, 3, 3)."""


def refuse(message: str) -> BadInput:
    """
    The error for a model file that cannot be used.

    Args:
        message: What is wrong and what would be right, in the user's words.

    Returns:
        The error, for the caller to raise.
    """
    return BadInput(message, field="path")


def checked_count(*, triangles: int) -> int:
    """
    The number of triangles, when it is one that can be read.

    Args:
        triangles: How many the file holds or says it holds, from 1 to 2000000.

    Returns:
        The same number.

    Raises:
        BadInput: none, or too many.

    >>> checked_count(triangles=12)
    12
    """
    if triangles < 1:
        raise refuse("this file holds no triangles: export the solid as a mesh")
    if triangles > MAX_TRIANGLES:
        raise refuse(
            f"this file has {triangles:,} triangles and at most {MAX_TRIANGLES:,} are read: "
            "export it with a coarser mesh (0.01 mm deviation is plenty)"
        )
    return triangles


def checked_corners(*, triangles: Triangles) -> Triangles:
    """
    The corners, when every one is a number of a believable size.

    Args:
        triangles: Corners of every triangle, shape (n, 3, 3), each within 100000 of the origin.

    Returns:
        The same array.

    Raises:
        BadInput: a corner is not a number, or is absurdly far away.
    """
    checked_count(triangles=len(triangles))
    low, high = float(triangles.min()), float(triangles.max())
    # A comparison with NaN is false, so NaN is refused here together with the infinities.
    if not (np.isfinite(low) and np.isfinite(high)):
        raise refuse("some corners of this model are not numbers: export it again")
    if max(-low, high) > MAX_LENGTH:
        raise refuse(
            f"some corners lie more than {MAX_LENGTH:,.0f} from the origin: export it again near the origin"
        )
    return triangles


def triangles_from_faces(*, vertices: NDArray[np.float64], faces: NDArray[np.int64]) -> Triangles:
    """
    Corners of every triangle from a list of vertices and the triangles' indices into it.

    Args:
        vertices: Points, shape (n, 3).
        faces: Indices, shape (m, 3), each from 0 to n - 1.

    Returns:
        Corners, shape (m, 3, 3).

    Raises:
        BadInput: an index points at no vertex, or there are too few or too many triangles.
    """
    checked_count(triangles=len(faces))
    if faces.ndim != 2 or faces.shape[1] != 3 or vertices.ndim != 2 or vertices.shape[1] != 3:
        raise refuse("this file is not a mesh of triangles")
    if int(faces.min()) < 0 or int(faces.max()) >= len(vertices):
        raise refuse(
            "some triangles point at corners that are not in the file: it is damaged, export it again"
        )
    return np.asarray(vertices[faces], dtype=np.float64)
