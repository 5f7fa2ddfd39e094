"""
The named girdle outlines that a scan can be fitted by.

The vocabulary and the frame are those of a halo's case: plan view from above, mm,
x across (width), y along (length).
A family is fitted by its signed distance, because a scanned point errs across the girdle, not along it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from gemcalc.scan.distances import (
    LEAST_BOW_MM,
    Floats,
    cushion_distance,
    emerald_distance,
    heart_distance,
    marquise_distance,
    oval_distance,
    pear_distance,
    princess_distance,
    round_distance,
    superellipse_distance,
)


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
    # A square with corners cut beyond the regular octagon is the same outline turned by 45°:
    # only one of them is offered.
    octagon = 1 / (2 + np.sqrt(2))
    oblong = _between(5 * (np.maximum(kept[..., 0], kept[..., 1]) / least - 1), 0.0, 1.0)
    kept[..., 2] = _between(kept[..., 2], 0.01 * least, (octagon + (0.45 - octagon) * oblong) * least)
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
        rarity: What the points must speak for it beyond its unknowns,
            in units of the information criterion:
            an outline that is seldom cut, or that bends an honest plainer one, needs better evidence.
            Source: practice.
    """

    name: str
    names: tuple[str, ...]
    symmetry: int
    distance: Callable[[Floats, Floats, Floats], Floats]
    keep: Callable[[Floats], Floats]
    start: Callable[[float, float], tuple[float, ...]]
    middle: Callable[[Floats], Floats]
    rarity: float = 0.0

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
            distance=round_distance,
            keep=lambda shape: _between(shape, 0.3, 80.0),
            start=lambda length, width: ((length + width) / 2,),
            middle=_centred,
        ),
        Family(
            name="oval",
            names=SIZES,
            symmetry=2,
            distance=oval_distance,
            keep=_keep_sizes,
            start=lambda length, width: (length, width),
            middle=_centred,
            # A round stone shall not be made oval by chance: five hundred points tell 0.02 mm.
            rarity=4.0,
        ),
        Family(
            name="superellipse",
            names=(*SIZES, "exponent"),
            symmetry=2,
            distance=superellipse_distance,
            keep=_keep_superellipse,
            start=lambda length, width: (length, width, 2.6),
            middle=_centred,
            rarity=7.0,
        ),
        Family(
            name="cushion",
            names=(*SIZES, "corner_radius_mm", "side_bow_mm"),
            symmetry=2,
            distance=cushion_distance,
            keep=_keep_cushion,
            start=lambda length, width: (length, width, 0.25 * min(length, width), 0.03 * min(length, width)),
            middle=_centred,
        ),
        Family(
            name="pear",
            names=SIZES,
            symmetry=1,
            distance=pear_distance,
            keep=_keep_pear,
            start=lambda length, width: (length, width),
            middle=lambda shape: (shape[..., 0] - shape[..., 1]) / 2,
        ),
        Family(
            name="marquise",
            names=SIZES,
            symmetry=2,
            distance=marquise_distance,
            keep=_keep_marquise,
            start=lambda length, width: (length, width),
            middle=_centred,
        ),
        Family(
            name="emerald",
            names=(*SIZES, "corner_mm"),
            symmetry=2,
            distance=emerald_distance,
            keep=_keep_emerald,
            start=lambda length, width: (length, width, 0.15 * min(length, width)),
            middle=_centred,
        ),
        Family(
            name="princess",
            names=SIZES,
            symmetry=2,
            distance=princess_distance,
            keep=_keep_sizes,
            start=lambda length, width: (length, width),
            middle=_centred,
        ),
        Family(
            name="heart",
            names=(*SIZES, "lobe_mm"),
            symmetry=1,
            distance=heart_distance,
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
