"""Whether triangles close a solid, and what is wrong where they do not."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gemcalc.meshes.limits import Triangles

Ids = NDArray[np.int64]
_U = np.uint64


@dataclass(frozen=True, kw_only=True)
class Closure:
    """
    How the triangles of a model hang together.

    Args:
        open_edges: Edges with a triangle on one side only.
        crowded_edges: Edges at which more than two triangles meet.
        twisted_edges: Edges whose two triangles disagree about the outside.
        flat_triangles: Triangles with two corners in one place.
        ids: Number of the point at every corner, shape (n, 3).
        points: How many different points there are.
    """

    open_edges: int
    crowded_edges: int
    twisted_edges: int
    flat_triangles: int
    ids: Ids
    points: int

    @property
    def closed(self) -> bool:
        """Every edge has exactly two triangles."""
        return not (self.open_edges or self.crowded_edges)


def _stir(digest: NDArray[np.uint64], scratch: NDArray[np.uint64]) -> None:
    """Finish the digest in place as splitmix does: every bit comes to depend on every bit put in."""
    for shift, factor in ((30, 0xBF58476D1CE4E5B9), (27, 0x94D049BB133111EB)):
        np.right_shift(digest, _U(shift), out=scratch)
        digest ^= scratch
        digest *= _U(factor)
    np.right_shift(digest, _U(31), out=scratch)
    digest ^= scratch


def _digest(points: NDArray[Any]) -> NDArray[np.uint64]:
    """A 64-bit digest of every point, worked in place: fresh memory costs more time than the arithmetic."""
    digest = np.full(len(points), 0x9E3779B97F4A7C15, dtype=np.uint64)
    scratch = np.empty_like(digest)
    bits = np.uint32 if points.dtype == np.float32 else np.uint64
    for axis in range(3):
        # Adding nought turns -0.0 into 0.0, which are one place but different bits.
        digest ^= (points[:, axis] + points.dtype.type(0)).view(bits)
        _stir(digest, scratch)
    return digest


def _point_ids(corners: NDArray[Any]) -> tuple[Ids, int]:
    """
    A number for every different point.

    Points are sorted by a 64-bit digest, which is faster than sorting rows; neighbours of one digest are
    then compared, so that two points that share one by accident (or malice) are never taken for one.
    """
    points = corners.reshape(-1, 3)
    digest = _digest(points)
    order = np.argsort(digest)
    digest = digest[order]
    same = digest[1:] == digest[:-1]
    for axis in range(3):
        ordered = points[order, axis]
        if (same & (ordered[1:] != ordered[:-1])).any():
            _, found = np.unique(points, axis=0, return_inverse=True)
            inverse = found.reshape(-1).astype(np.int64)
            return inverse.reshape(-1, 3), int(inverse.max()) + 1
    ids = np.empty(len(points), dtype=np.int64)
    numbers = np.zeros(len(points), dtype=np.int64)
    np.cumsum(~same, out=numbers[1:])
    ids[order] = numbers
    return ids.reshape(-1, 3), int(numbers[-1]) + 1


def closure(*, triangles: Triangles, join_mm: float = 0.0, shift: float = 0.0) -> Closure:
    """
    How the triangles hang together.

    Args:
        triangles: Corners in mm, shape (n, 3, 3).
        join_mm: Points that fall into one cell of a grid this wide are taken as one, mm; 0 for equality.
        shift: Where the grid begins, in cells, from 0 to 1.

    Returns:
        The :class:`Closure`; shells that run through each other are not looked for.

    Source:
        divergence-theorem, exact-geometry
    """
    ids, points = _point_ids(np.floor(triangles / join_mm + shift) if join_mm else triangles)
    flat = (ids[:, 0] == ids[:, 1]) | (ids[:, 1] == ids[:, 2]) | (ids[:, 2] == ids[:, 0])
    faces = ids[~flat] if flat.any() else ids
    start = faces.reshape(-1)
    end = np.roll(faces, -1, axis=1).reshape(-1)
    # The lowest bit of a key is the direction in which its triangle runs along the edge.
    keys = (np.minimum(start, end) * points + np.maximum(start, end)) * 2 + (start > end)
    keys.sort()
    edges = keys >> 1
    if not len(edges):
        return Closure(
            open_edges=0,
            crowded_edges=0,
            twisted_edges=0,
            flat_triangles=int(flat.sum()),
            ids=ids,
            points=points,
        )
    first = np.flatnonzero(np.concatenate([[True], edges[1:] != edges[:-1]]))
    count = np.diff(np.concatenate([first, [len(edges)]]))
    pairs = first[count == 2]
    twisted = int((keys[pairs] == keys[pairs + 1]).sum())
    return Closure(
        open_edges=int((count == 1).sum()),
        crowded_edges=int((count > 2).sum()),
        twisted_edges=twisted,
        flat_triangles=int(flat.sum()),
        ids=ids,
        points=points,
    )


def body_labels(*, found: Closure) -> tuple[Ids, int]:
    """
    Which body every triangle belongs to: bodies share no point with each other.

    Args:
        found: How the triangles hang together.

    Returns:
        A label for each triangle from 0, and the number of bodies.
    """
    # scipy takes a moment to load: only models pay for it.
    from scipy.sparse import coo_matrix
    from scipy.sparse.csgraph import connected_components

    rows = np.concatenate([found.ids[:, 0], found.ids[:, 1]]).astype(np.int32)
    columns = np.concatenate([found.ids[:, 1], found.ids[:, 2]]).astype(np.int32)
    ones = np.ones(len(rows), dtype=np.int8)
    graph = coo_matrix((ones, (rows, columns)), shape=(found.points, found.points))
    number, labels = connected_components(graph, directed=False)
    return labels[found.ids[:, 0]].astype(np.int64), int(number)
