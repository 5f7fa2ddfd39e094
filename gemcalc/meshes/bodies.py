"""Volume and surface of a model, body by body."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gemcalc.meshes.limits import Triangles

MAX_COMPARED = 300
"""Most bodies whose boxes are compared with each other."""

_CHUNK = 100_000


@dataclass(frozen=True, kw_only=True)
class Bodies:
    """
    The volume of a model, put together from its bodies.

    Args:
        volume_mm3: Metal in all bodies less the hollows inside them, mm3.
        area_mm2: Surface of all triangles, mm2.
        turned: Bodies that looked inwards and were turned.
        hollows: Bodies that are hollows inside another.
        meeting: Pairs of bodies whose boxes overlap, so that their metal may be counted twice.
    """

    volume_mm3: float
    area_mm2: float
    turned: int
    hollows: int
    meeting: int


def signed_volumes(*, triangles: Triangles) -> tuple[NDArray[np.float64], float]:
    """
    Signed volume in mm3 of the tetrahedron under each triangle, and the whole surface in mm2.

    Formula: a.(b x c)/6 about the middle of the model, so that little is lost far from the origin.

    Args:
        triangles: Corners in mm, shape (n, 3, 3).

    Returns:
        Volumes, shape (n,), and the area.

    Source:
        divergence-theorem
    """
    middle = (triangles.reshape(-1, 3).min(axis=0) + triangles.reshape(-1, 3).max(axis=0)) / 2
    volumes = np.empty(len(triangles))
    area = 0.0
    # Pieces of a hundred thousand keep the working memory small whatever the size of the model.
    for begin in range(0, len(triangles), _CHUNK):
        piece = triangles[begin : begin + _CHUNK].astype(np.float64) - middle
        a, b, c = piece[:, 0], piece[:, 1], piece[:, 2]
        volumes[begin : begin + _CHUNK] = np.einsum("ij,ij->i", a, np.cross(b, c)) / 6
        area += float(np.linalg.norm(np.cross(b - a, c - a), axis=1).sum()) / 2
    return volumes, area


def _boxes(triangles: Triangles, labels: NDArray[np.int64], number: int) -> tuple[Any, Any]:
    low = np.full((number, 3), np.inf)
    high = np.full((number, 3), -np.inf)
    order = np.argsort(labels, kind="stable")
    begins = np.searchsorted(labels[order], np.arange(number))
    low = np.minimum.reduceat(triangles.min(axis=1)[order].astype(np.float64), begins, axis=0)
    high = np.maximum.reduceat(triangles.max(axis=1)[order].astype(np.float64), begins, axis=0)
    return low, high


def put_together(*, triangles: Triangles, labels: NDArray[np.int64], number: int) -> Bodies:
    """
    Volume of a model in mm3 from its bodies.

    A body that looks inwards is a hollow when its box lies inside that of a body that looks outwards;
    otherwise it is inside out and is turned.

    Args:
        triangles: Corners in mm, shape (n, 3, 3).
        labels: Number of the body of every triangle, from 0.
        number: How many bodies there are, from 1.

    Returns:
        The :class:`Bodies`.

    Source:
        divergence-theorem
    """
    volumes, area = signed_volumes(triangles=triangles)
    each = np.bincount(labels, weights=volumes, minlength=number)
    if number == 1 or number > MAX_COMPARED:
        total = float(each.sum())
        return Bodies(
            volume_mm3=abs(total),
            area_mm2=area,
            turned=int(total < 0),
            hollows=0,
            meeting=0 if number == 1 else -1,
        )
    low, high = _boxes(triangles, labels, number)
    inwards = np.flatnonzero(each < 0)
    outwards = np.flatnonzero(each >= 0)
    hollow = {
        int(i)
        for i in inwards
        if ((low[outwards] <= low[i]).all(axis=1) & (high[outwards] >= high[i]).all(axis=1)).any()
    }
    solid = np.array([i for i in range(number) if i not in hollow])
    overlap = (low[solid][:, None] < high[solid][None]).all(axis=2)
    meeting = int((np.triu(overlap & overlap.T, k=1)).sum())
    volume = float(np.abs(each[solid]).sum()) - sum(abs(float(each[i])) for i in hollow)
    return Bodies(
        volume_mm3=abs(volume),
        area_mm2=area,
        turned=len(inwards) - len(hollow),
        hollows=len(hollow),
        meeting=meeting,
    )
