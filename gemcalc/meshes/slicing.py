"""A model cut through by a plane: the outlines of the openings in the metal."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
import shapely
from numpy.typing import NDArray

from gemcalc.errors import BadInput, in_range
from gemcalc.meshes.limits import Triangles

Axis = Literal["x", "y", "z"]
Floats = NDArray[np.float64]

PLANES: dict[str, tuple[int, int, int]] = {"x": (1, 2, 0), "y": (2, 0, 1), "z": (0, 1, 2)}
"""Which coordinates lie in the plane, and which is the level, for a cut square to each axis (right-handed)."""

MOST_SEGMENTS = 60_000
MOST_OPENINGS = 400
LEVELS = 40
FAINT_MM2 = 0.02


@dataclass(frozen=True, kw_only=True)
class Opening:
    """
    One opening in a model at one level.

    Args:
        points_mm: Its outline in order, mm, in the plane of the cut (count, 2).
        axis: Axis the cut is square to.
        level_mm: Where on that axis, mm of the model's own.
        width_mm: Its extent along the plane's first direction.
        length_mm: Its extent along the second.
        area_mm2: Its area.
    """

    points_mm: Floats
    axis: Axis
    level_mm: float
    width_mm: float
    length_mm: float
    area_mm2: float


def _segments(triangles: Triangles, axis: Axis, level: float) -> Floats:
    """Where the plane cuts the triangles, as segments (count, 2, 2); corners lying in it count as above."""
    across, up, height = PLANES[axis]
    levels = triangles[:, :, height]
    above = levels >= level
    count = above.sum(axis=1)
    cut = (count == 1) | (count == 2)
    if not cut.any():
        return np.empty((0, 2, 2))
    corners, above, count = triangles[cut].astype(np.float64), above[cut], count[cut]
    # The corner that is alone on its side: both cut edges start there.
    lonely = np.where(count == 1, above.argmax(axis=1), (~above).argmax(axis=1))
    rows = np.arange(len(corners))
    ends = []
    for step in (1, 2):
        a, b = corners[rows, lonely], corners[rows, (lonely + step) % 3]
        # Two triangles share the edge: both work it out from its lower end, so that they meet exactly.
        turned = a[:, height] > b[:, height]
        low, high = np.where(turned[:, None], b, a), np.where(turned[:, None], a, b)
        span = high[:, height] - low[:, height]
        share = np.clip((level - low[:, height]) / np.where(span == 0, 1.0, span), 0, 1)
        spot = low + share[:, None] * (high - low)
        ends.append(spot[:, [across, up]])
    pieces = np.stack(ends, axis=1).round(6)
    apart: NDArray[np.bool_] = (pieces[:, 0] != pieces[:, 1]).any(axis=1)
    found: Floats = pieces[apart]
    return found


def _inside_metal(points: Floats, segments: Floats) -> NDArray[np.bool_]:
    """Whether each point lies in the metal: a ray from it crosses the cut an odd number of times."""
    a, b = segments[:, 0], segments[:, 1]
    odd = np.zeros(len(points), dtype=bool)
    for place, (x, y) in enumerate(points):
        spans = (a[:, 1] > y) != (b[:, 1] > y)
        low, high = a[spans], b[spans]
        at = low[:, 0] + (y - low[:, 1]) / (high[:, 1] - low[:, 1]) * (high[:, 0] - low[:, 0])
        odd[place] = bool((at > x).sum() % 2)
    return odd


def _meets_end_to_end(segments: Floats) -> bool:
    """Whether every end belongs to exactly two segments, as where one closed surface is cut."""
    _ends, times = np.unique(segments.reshape(-1, 2), axis=0, return_counts=True)
    return bool((times == 2).all())


def openings_at(*, triangles: Triangles, axis: Axis, level_mm: float) -> list[Opening]:
    """
    The openings in a model at one level: closed outlines with metal all round and none inside, the largest first.

    Args:
        triangles: Corners of every triangle, mm, shape (n, 3, 3).
        axis: Axis that the cut is square to: x, y or z.
        level_mm: Where on that axis, mm.

    Returns:
        The openings, exact for the triangles to a thousandth of a micrometre.

    Raises:
        BadInput: there is no such axis, or the cut has more pieces than any ring.

    Source:
        exact-geometry

    >>> import numpy as np
    >>> openings_at(triangles=np.zeros((1, 3, 3)), axis="z", level_mm=1.0)
    []
    """
    if axis not in PLANES:
        raise BadInput(f"must be one of {', '.join(PLANES)}", field="axis")
    segments = _segments(triangles, axis, level_mm)
    if len(segments) > MOST_SEGMENTS:
        raise BadInput("is cut into more pieces than any ring: export it with a coarser mesh", field="path")
    if len(segments) < 3:
        return []
    lines = shapely.linestrings(segments)
    # A sound mesh is cut into segments that meet end to end; only where bodies run through each other do they cross.
    if not _meets_end_to_end(segments):
        lines = shapely.get_parts(shapely.union_all(lines))
    faces = shapely.get_parts(shapely.polygonize(lines))
    faces = faces[shapely.area(faces) > FAINT_MM2][:MOST_OPENINGS]
    if not len(faces):
        return []
    spots = shapely.get_coordinates(shapely.point_on_surface(faces))
    empty = faces[~_inside_metal(spots, segments)]
    # An opening with something standing in it is no free opening for a stone: its outer edge alone would lie.
    empty = empty[shapely.get_num_interior_rings(empty) == 0]
    found = []
    for face in empty[np.argsort(-shapely.area(empty), kind="stable")]:
        ring = np.asarray(face.exterior.coords, dtype=np.float64)[:-1]
        wide, long = np.ptp(ring, axis=0)
        found.append(
            Opening(
                points_mm=ring,
                axis=axis,
                level_mm=level_mm,
                width_mm=float(wide),
                length_mm=float(long),
                area_mm2=float(face.area),
            )
        )
    return found


def _mean_gap(opening: Opening, girdle_area: float, girdle_round: float) -> float:
    """What the areas say of the mean gap, mm: near enough to choose a level by."""
    return (opening.area_mm2 - girdle_area) / girdle_round


def opening_for(
    *,
    triangles: Triangles,
    girdle_mm: Floats,
    wanted_mm: float = 0.05,
    axis: Axis | None = None,
    level_mm: float | None = None,
) -> tuple[Opening, list[Opening]]:
    """
    The opening that a model has for a stone, and what it has at other levels.

    Where no level is given, forty levels of each axis are tried; the one whose opening comes nearest to the
    girdle with the wanted gap is taken, from the middle of the levels that are as good.

    Args:
        triangles: Corners of every triangle, mm, shape (n, 3, 3).
        girdle_mm: The stone's girdle in order, mm (count, 2).
        wanted_mm: The gap that is wanted, mm, 0 to 5.
        axis: Axis along which one looks down on the stone; None to find it.
        level_mm: Level of the girdle on that axis, mm of the model's own; None to find it.

    Returns:
        The opening and every opening near the stone's size that was seen, by axis and level.

    Raises:
        BadInput: nothing of the stone's size is open there; ``field`` is ``axis``, ``level_mm`` or ``path``.
        OutOfRange: *wanted_mm* is not from 0 to 5.

    Source:
        exact-geometry, practice
    """
    in_range(field="wanted_mm", value=wanted_mm, low=0, high=5)
    if axis is not None and axis not in PLANES:
        raise BadInput(f"must be one of {', '.join(PLANES)}", field="axis")
    if level_mm is not None and axis is None:
        raise BadInput("say along which axis the level is given", field="axis")
    stone = shapely.Polygon(girdle_mm)
    area, around = stone.area, stone.length
    sides = sorted(np.ptp(np.asarray(girdle_mm, dtype=np.float64), axis=0))

    def fits(one: Opening) -> bool:
        near = sorted((one.width_mm, one.length_mm))
        return all(0.75 * own < other < 1.35 * own for own, other in zip(sides, near, strict=True))

    seen: list[Opening] = []
    for name in (axis,) if axis else ("z", "y", "x"):
        for level in _levels(triangles, name, level_mm):
            seen += [one for one in openings_at(triangles=triangles, axis=name, level_mm=level) if fits(one)]
    if not seen:
        if level_mm is not None:
            raise BadInput("has no opening of the stone's size there", field="level_mm")
        raise BadInput(
            "has no closed opening of the stone's size: hide the stones, keep the halo, or send its inner outline",
            field="path",
        )
    off = np.array([abs(_mean_gap(one, area, around) - wanted_mm) for one in seen])
    axis_taken = seen[int(off.argmin())].axis
    as_good = [
        one for one, how in zip(seen, off, strict=True) if one.axis == axis_taken and how <= off.min() + 0.005
    ]
    return as_good[len(as_good) // 2], seen


def _levels(triangles: Triangles, axis: Axis, given: float | None) -> list[float]:
    heights = triangles[:, :, PLANES[axis][2]]
    low, high = float(heights.min()), float(heights.max())
    if given is not None:
        return [given] if low < given < high else []
    # Just off every step, so that no level lies in a flat face of the model.
    steps = (np.arange(LEVELS) + 0.5) / LEVELS
    return [float(level) for level in low + steps * (high - low) + 1.7e-5]
