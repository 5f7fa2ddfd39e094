"""STL, binary and in words."""

from __future__ import annotations

from array import array
from io import BytesIO

import numpy as np

from gemcalc.meshes.limits import MAX_LINE_BYTES, MAX_LINES, MAX_TRIANGLES, Triangles, checked_count, refuse

HEADER_BYTES = 84
RECORD_BYTES = 50
_RECORD = np.dtype([("normal", "<f4", (3,)), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])


def read_stl(*, content: bytes) -> tuple[Triangles, list[str]]:
    """
    Triangles of an STL file.

    A binary file is told by its length, not by its first word: many binary files begin with "solid" too.

    Args:
        content: The whole file.

    Returns:
        Corners, shape (n, 3, 3), and notes in words.

    Raises:
        BadInput: the file is cut short, is no STL, or declares more triangles than are read.
    """
    declared = int.from_bytes(content[80:84], "little") if len(content) >= HEADER_BYTES else 0
    expected = HEADER_BYTES + RECORD_BYTES * declared
    if len(content) == expected and declared:
        return _binary(content, declared), []
    if content[:512].lstrip()[:5].lower() == b"solid" and b"vertex" in content[:100_000].lower():
        return _words(content), []
    if len(content) < HEADER_BYTES:
        raise refuse("this is not an STL file: it is too short")
    if declared == 0:
        raise refuse("this file holds no triangles: export the solid as a mesh")
    if len(content) < expected:
        held = (len(content) - HEADER_BYTES) // RECORD_BYTES
        raise refuse(
            f"this STL says it has {declared:,} triangles but holds {held:,}: it was cut short or is no STL, "
            "export or send it again"
        )
    extra = len(content) - expected
    return _binary(content, declared), [f"{extra:,} bytes after the last triangle were left unread."]


def _binary(content: bytes, declared: int) -> Triangles:
    checked_count(triangles=declared)
    records = np.frombuffer(content, dtype=_RECORD, count=declared, offset=HEADER_BYTES)
    return np.ascontiguousarray(records["corners"])


def _words(content: bytes) -> Triangles:
    numbers = array("d")
    for number, line in enumerate(BytesIO(content)):
        if number > MAX_LINES or len(line) > MAX_LINE_BYTES:
            raise refuse("this STL has more or longer lines than any model needs: export it in binary")
        word = line.split(None, 4)
        if not word or word[0].lower() != b"vertex":
            continue
        try:
            numbers.extend((float(word[1]), float(word[2]), float(word[3])))
        except (IndexError, ValueError):
            raise refuse("a line of this STL that begins with 'vertex' does not hold three numbers") from None
        if len(numbers) > 9 * MAX_TRIANGLES:
            checked_count(triangles=len(numbers) // 9 + 1)
    if len(numbers) % 9:
        raise refuse("this STL ends in the middle of a triangle: it was cut short, export or send it again")
    checked_count(triangles=len(numbers) // 9)
    return np.frombuffer(numbers, dtype=np.float64).reshape(-1, 3, 3)
