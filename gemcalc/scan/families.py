"""
The named girdle outlines as signed distances, for fitting them to measured points.

The vocabulary and the frame are those of a halo's case: plan view from above, mm, x across (width), y along
(length).
A family is fitted by its signed distance (positive outside), because a scanned point errs across the girdle,
not along it.
All but the superellipse are chains of lines and arcs, so their distance is exact and closed.

Shapes are rows ``(..., k)`` of an array, so that one numpy call answers for many starts and many small
changes of a
parameter at once: that is what makes a fit take milliseconds.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Flags = NDArray[np.bool_]

LEAST_BOW_MM = 1e-6
"""
A straight side is drawn as an arc bowed by this much: its radius stays finite and the error is a nanometre.
"""


def _round(shape: Floats, x: Floats, y: Floats) -> Floats:
    return np.hypot(x, y) - shape[..., 0:1] / 2


def _superellipse_distance(
    half_width: Floats, half_length: Floats, power: Floats | None, x: Floats, y: Floats
) -> Floats:
    """
    Distance to ``|x/a|^p + |y/b|^p = 1`` (an ellipse where *power* is None), by sliding the foot along the
    curve.
    """
    x, y = np.abs(x), np.abs(y)
    tiny = 1e-9

    def onto_curve(px: Floats, py: Floats) -> tuple[Floats, Floats]:
        u, v = px / half_width, py / half_length
        if power is None:
            scale = np.hypot(u, v)
        else:
            big = np.maximum(np.maximum(u, v), tiny)
            scale = big * ((u / big) ** power + (v / big) ** power) ** (1 / power)
        scale = np.maximum(scale, tiny)
        return px / scale, py / scale

    foot_x, foot_y = onto_curve(x, y)
    for turn in range(4):
        if power is None:
            nx, ny = foot_x / half_width**2, foot_y / half_length**2
        else:
            nx = (foot_x / half_width) ** (power - 1) / half_width
            ny = (foot_y / half_length) ** (power - 1) / half_length
        size = np.maximum(np.hypot(nx, ny), tiny)
        nx, ny = nx / size, ny / size
        if turn == 3:
            break
        along = (y - foot_y) * nx - (x - foot_x) * ny
        foot_x, foot_y = onto_curve(np.maximum(foot_x - along * ny, 0), np.maximum(foot_y + along * nx, 0))
    return (x - foot_x) * nx + (y - foot_y) * ny


def _oval(shape: Floats, x: Floats, y: Floats) -> Floats:
    return _superellipse_distance(shape[..., 1:2] / 2, shape[..., 0:1] / 2, None, x, y)


def _superellipse(shape: Floats, x: Floats, y: Floats) -> Floats:
    return _superellipse_distance(shape[..., 1:2] / 2, shape[..., 0:1] / 2, shape[..., 2:3], x, y)


@dataclass(frozen=True)
class CushionArcs:
    """Centres and radii of a cushion's side arcs and corner arcs, in its first quadrant, mm."""

    side_radius: Floats
    top_radius: Floats
    side_x: Floats
    top_y: Floats
    corner_x: Floats
    corner_y: Floats
    corner_radius: Floats


def cushion_arcs(shape: Floats) -> CushionArcs:
    """
    The arcs of cushions with rows (length, width, corner radius, side bow), mm.

    The corner arc touches both side arcs from inside, so its centre lies where two circles round the side
    arcs' centres meet.
    """
    half_length, half_width = shape[..., 0:1] / 2, shape[..., 1:2] / 2
    radius, bow = shape[..., 2:3], np.maximum(shape[..., 3:4], LEAST_BOW_MM)
    side_radius = ((half_length - bow) ** 2 + bow**2) / (2 * bow)
    top_radius = ((half_width - bow) ** 2 + bow**2) / (2 * bow)
    side_x, top_y = half_width - side_radius, half_length - top_radius
    # The meeting point of the circles of radius (side − corner) and (top − corner), in the frame of their
    # centres.
    from_side, from_top = side_radius - radius, top_radius - radius
    ax, ay = -side_x, top_y
    apart = np.hypot(ax, ay)
    along = (from_side**2 - from_top**2 + apart**2) / (2 * apart)
    across = np.sqrt(np.maximum(from_side**2 - along**2, 0))
    ux, uy = ax / apart, ay / apart
    first = (side_x + along * ux - across * uy, along * uy + across * ux)
    second = (side_x + along * ux + across * uy, along * uy - across * ux)
    outer = first[0] + first[1] > second[0] + second[1]
    return CushionArcs(
        side_radius,
        top_radius,
        side_x,
        top_y,
        np.where(outer, first[0], second[0]),
        np.where(outer, first[1], second[1]),
        radius,
    )


def _cushion(shape: Floats, x: Floats, y: Floats) -> Floats:
    x, y = np.abs(x), np.abs(y)
    arcs = cushion_arcs(shape)
    dx, dy = x - arcs.corner_x, y - arcs.corner_y
    # Each border of the corner's sector is the line from a side arc's centre through the corner's centre.
    above_side = (arcs.corner_x - arcs.side_x) * dy - arcs.corner_y * dx >= 0
    below_top = arcs.corner_x * dy - (arcs.corner_y - arcs.top_y) * dx <= 0
    side = np.hypot(x - arcs.side_x, y) - arcs.side_radius
    top = np.hypot(x, y - arcs.top_y) - arcs.top_radius
    corner = np.hypot(dx, dy) - arcs.corner_radius
    return np.where(above_side & below_top, corner, np.where(above_side, top, side))


def _half_lens(half_width: Floats, height: Floats, x: Floats, y: Floats) -> Floats:
    """
    Distance to the arc from (half width, 0), upright there, to the tip (0, height), and round the tip; x, y
    ≥ 0.
    """
    radius = (half_width**2 + height**2) / (2 * half_width)
    inset = radius - half_width
    past_tip = inset * y - height * (x + inset) > 0
    return np.where(past_tip, np.hypot(x, y - height), np.hypot(x + inset, y) - radius)


def _marquise(shape: Floats, x: Floats, y: Floats) -> Floats:
    return _half_lens(shape[..., 1:2] / 2, shape[..., 0:1] / 2, np.abs(x), np.abs(y))


def _pear(shape: Floats, x: Floats, y: Floats) -> Floats:
    half_width = shape[..., 1:2] / 2
    upper = _half_lens(half_width, shape[..., 0:1] - half_width, np.abs(x), y)
    return np.where(y < 0, np.hypot(x, y) - half_width, upper)


def _heart(shape: Floats, x: Floats, y: Floats) -> Floats:
    x = np.abs(x)
    half_width, lobe = shape[..., 1:2] / 2, shape[..., 2:3]
    radius = half_width - lobe
    notch = np.sqrt(np.maximum(radius**2 - lobe**2, 0))
    below_notch = -lobe * y - notch * (x - lobe) > 0
    upper = np.where(below_notch, -np.hypot(x, y - notch), np.hypot(x - lobe, y) - radius)
    lower = _half_lens(half_width, shape[..., 0:1] - radius, x, -y)
    return np.where(y < 0, lower, upper)


def _princess(shape: Floats, x: Floats, y: Floats) -> Floats:
    dx, dy = np.abs(x) - shape[..., 1:2] / 2, np.abs(y) - shape[..., 0:1] / 2
    return np.hypot(np.maximum(dx, 0), np.maximum(dy, 0)) + np.minimum(np.maximum(dx, dy), 0)


def _emerald(shape: Floats, x: Floats, y: Floats) -> Floats:
    dx, dy = np.abs(x) - shape[..., 1:2] / 2, np.abs(y) - shape[..., 0:1] / 2
    corner = shape[..., 2:3]
    over_cut = (dx + dy + corner) / np.sqrt(2)
    # Along the cut, counted from its middle; its ends lie half a diagonal away.
    past_end = np.maximum(np.abs(dx - dy) / np.sqrt(2) - corner / np.sqrt(2), 0)
    to_side = np.hypot(dx, np.maximum(dy + corner, 0))
    to_top = np.hypot(dy, np.maximum(dx + corner, 0))
    apart = np.minimum(np.minimum(to_side, to_top), np.hypot(over_cut, past_end))
    outside = np.maximum(np.maximum(dx, dy), over_cut) > 0
    signed: Floats = np.where(outside, apart, -apart)
    return signed


def _between(values: Floats, low: Floats | float, high: Floats | float) -> Floats:
    held: Floats = np.minimum(np.maximum(values, low), high)
    return held


def _keep_sizes(shape: Floats) -> Floats:
    kept = shape.copy()
    kept[..., :2] = _between(kept[..., :2], 0.3, 80.0)
    return kept


def _keep_superellipse(shape: Floats) -> Floats:
    kept = _keep_sizes(shape)
    kept[..., 2] = _between(kept[..., 2], 1.6, 12.0)
    return kept


def _keep_cushion(shape: Floats) -> Floats:
    kept = _keep_sizes(shape)
    least = np.minimum(kept[..., 0], kept[..., 1])
    kept[..., 3] = _between(kept[..., 3], LEAST_BOW_MM, 0.12 * least)
    # A corner must end before the middle of a side, or the outline is no longer a cushion.
    kept[..., 2] = _between(kept[..., 2], 0.02 * least, 0.47 * least)
    return kept


def _keep_pear(shape: Floats) -> Floats:
    kept = _keep_sizes(shape)
    kept[..., 0] = np.maximum(kept[..., 0], 1.05 * kept[..., 1])
    return kept


def _keep_marquise(shape: Floats) -> Floats:
    kept = _keep_sizes(shape)
    kept[..., 0] = np.maximum(kept[..., 0], 1.1 * kept[..., 1])
    return kept


def _keep_heart(shape: Floats) -> Floats:
    kept = _keep_sizes(shape)
    half_width = kept[..., 1] / 2
    kept[..., 2] = _between(kept[..., 2], 0.3 * half_width, 0.499 * half_width)
    kept[..., 0] = np.maximum(kept[..., 0], 1.02 * half_width + (half_width - kept[..., 2]))
    return kept


def _keep_emerald(shape: Floats) -> Floats:
    kept = _keep_sizes(shape)
    least = np.minimum(kept[..., 0], kept[..., 1])
    kept[..., 2] = _between(kept[..., 2], 0.01 * least, 0.45 * least)
    return kept


@dataclass(frozen=True, kw_only=True)
class Family:
    """
    One named outline.

    Args:
        name: Its word in a halo's case.
        names: The shape's parameters in order, with their units.
        symmetry: Turns by 360° / *symmetry* map it to itself (0: any turn), mirrors aside.
        distance: Signed distance of points from shapes, mm, positive outside.
        keep: The nearest shape that is one of this family.
        start: A first shape from an overall length and width.
        middle: Height of the box's middle above the family's own origin.
    """

    name: str
    names: tuple[str, ...]
    symmetry: int
    distance: Callable[[Floats, Floats, Floats], Floats]
    keep: Callable[[Floats], Floats]
    start: Callable[[float, float], tuple[float, ...]]
    middle: Callable[[Floats], Floats]

    @property
    def turns(self) -> bool:
        """Whether the outline has an orientation at all."""
        return self.symmetry != 0

    @property
    def unknowns(self) -> int:
        """How many numbers a fit of it finds: the place, the turn where there is one, the shape."""
        return 2 + self.turns + len(self.names)


def _centred(shape: Floats) -> Floats:
    return np.zeros(shape.shape[:-1])


SIZES = ("length_mm", "width_mm")

FAMILIES: dict[str, Family] = {
    family.name: family
    for family in (
        Family(
            name="round",
            names=("diameter_mm",),
            symmetry=0,
            distance=_round,
            keep=lambda shape: _between(shape, 0.3, 80.0),
            start=lambda length, width: ((length + width) / 2,),
            middle=_centred,
        ),
        Family(
            name="oval",
            names=SIZES,
            symmetry=2,
            distance=_oval,
            keep=_keep_sizes,
            start=lambda length, width: (length, width),
            middle=_centred,
        ),
        Family(
            name="superellipse",
            names=(*SIZES, "exponent"),
            symmetry=2,
            distance=_superellipse,
            keep=_keep_superellipse,
            start=lambda length, width: (length, width, 2.6),
            middle=_centred,
        ),
        Family(
            name="cushion",
            names=(*SIZES, "corner_radius_mm", "side_bow_mm"),
            symmetry=2,
            distance=_cushion,
            keep=_keep_cushion,
            start=lambda length, width: (length, width, 0.25 * min(length, width), 0.03 * min(length, width)),
            middle=_centred,
        ),
        Family(
            name="pear",
            names=SIZES,
            symmetry=1,
            distance=_pear,
            keep=_keep_pear,
            start=lambda length, width: (length, width),
            middle=lambda shape: (shape[..., 0] - shape[..., 1]) / 2,
        ),
        Family(
            name="marquise",
            names=SIZES,
            symmetry=2,
            distance=_marquise,
            keep=_keep_marquise,
            start=lambda length, width: (length, width),
            middle=_centred,
        ),
        Family(
            name="emerald",
            names=(*SIZES, "corner_mm"),
            symmetry=2,
            distance=_emerald,
            keep=_keep_emerald,
            start=lambda length, width: (length, width, 0.15 * min(length, width)),
            middle=_centred,
        ),
        Family(
            name="princess",
            names=SIZES,
            symmetry=2,
            distance=_princess,
            keep=_keep_sizes,
            start=lambda length, width: (length, width),
            middle=_centred,
        ),
        Family(
            name="heart",
            names=(*SIZES, "lobe_mm"),
            symmetry=1,
            distance=_heart,
            keep=_keep_heart,
            start=lambda length, width: (length, width, 0.24 * width),
            middle=lambda shape: shape[..., 1] / 2 - shape[..., 2] - shape[..., 0] / 2,
        ),
    )
}
"""The outlines a stone can be named as; the words and parameters are those of a halo's case."""

CUTS: dict[str, tuple[str, ...]] = {
    "round": ("round", "oval"),
    "oval": ("oval", "superellipse"),
    "superellipse": ("superellipse", "cushion"),
    "cushion": ("cushion", "superellipse"),
    "pear": ("pear",),
    "marquise": ("marquise",),
    "emerald": ("emerald", "princess"),
    "asscher": ("emerald",),
    "radiant": ("emerald", "princess"),
    "princess": ("princess", "emerald"),
    "baguette": ("princess", "emerald"),
    "heart": ("heart",),
}
"""Cut word: the outlines to try for it, the named one first."""
