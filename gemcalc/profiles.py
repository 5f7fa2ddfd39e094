"""Cross-sections of bands: area, centroid and outline."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from gemcalc.errors import BadInput, in_range

Profile = Literal["flat", "half-round", "court", "comfort", "knife-edge"]

COMFORT_RISE = 0.25
"""How much of the thickness a comfort band's inside rises to its edges. Source: practice."""

KNIFE_WALL = 0.5
"""How much of the thickness a knife-edge band's side walls have. Source: practice."""


@dataclass(frozen=True, kw_only=True)
class ProfileShape:
    """
    A profile as two pure numbers: every section here is a stretched copy of one unit section.

    Args:
        name: Name of the profile.
        words: What it looks like.
        area_factor: Area divided by width times thickness.
        centroid_factor: Height of the centroid above the finger, divided by thickness.
    """

    name: Profile
    words: str
    area_factor: float
    centroid_factor: float


def _comfort() -> tuple[float, float]:
    flat, rise = 1 - COMFORT_RISE, COMFORT_RISE * math.pi / 4
    # The half-ellipse hangs from the edge line towards the finger, its centroid 4/(3 pi) of the rise below.
    rise_centroid = COMFORT_RISE * (1 - 4 / (3 * math.pi))
    area = flat + rise
    return area, (flat * (COMFORT_RISE + flat / 2) + rise * rise_centroid) / area


def _knife() -> tuple[float, float]:
    wall, roof = KNIFE_WALL, (1 - KNIFE_WALL) / 2
    area = wall + roof
    return area, (wall * KNIFE_WALL / 2 + roof * (KNIFE_WALL + (1 - KNIFE_WALL) / 3)) / area


PROFILES: dict[str, ProfileShape] = {
    row.name: row
    for row in (
        ProfileShape(name="flat", words="flat inside and out", area_factor=1.0, centroid_factor=0.5),
        ProfileShape(
            name="half-round",
            words="flat inside, a half-ellipse outside",
            area_factor=math.pi / 4,
            centroid_factor=4 / (3 * math.pi),
        ),
        ProfileShape(
            name="court",
            words="rounded inside and out: a full ellipse",
            area_factor=math.pi / 4,
            centroid_factor=0.5,
        ),
        ProfileShape(
            name="comfort",
            words="flat outside, inside a half-ellipse that rises a quarter of the thickness to the edges",
            area_factor=_comfort()[0],
            centroid_factor=_comfort()[1],
        ),
        ProfileShape(
            name="knife-edge",
            words="flat inside, side walls of half the thickness, then a straight roof to the ridge",
            area_factor=_knife()[0],
            centroid_factor=_knife()[1],
        ),
    )
}
"""The profiles with their exact factors. Source: exact-geometry."""


def shape_of(*, profile: str) -> ProfileShape:
    """
    The shape of a profile by its name.

    Args:
        profile: flat, half-round, court, comfort or knife-edge.

    Returns:
        Its :class:`ProfileShape`.

    Raises:
        BadInput: there is no such profile.

    >>> shape_of(profile="knife-edge").area_factor
    0.75
    """
    if profile not in PROFILES:
        raise BadInput(f"must be one of {', '.join(PROFILES)}", field="profile")
    return PROFILES[profile]


def _arc(width: float, height: float, base: float, steps: int) -> list[tuple[float, float]]:
    """Half-ellipse from (+width/2, base) over (0, base + height) to (-width/2, base)."""
    turn = [math.pi * i / steps for i in range(steps + 1)]
    return [(width / 2 * math.cos(a), base + height * math.sin(a)) for a in turn]


def section_outline(
    *, profile: str, width_mm: float, thickness_mm: float, steps: int = 48
) -> list[tuple[float, float]]:
    """
    Outline of a band's cross-section in mm, for drawings and meshes.

    The finger lies below y = 0 and the section is symmetric in x; points run anticlockwise, not closed.

    Args:
        profile: flat, half-round, court, comfort or knife-edge.
        width_mm: Width along the finger, mm, from 0.05 to 100.
        thickness_mm: Thickness away from the finger, mm, from 0.05 to 100.
        steps: Straight pieces in each half-ellipse, from 4 to 2000.

    Returns:
        Points (x, y), mm. A curved side is drawn from inside, a little small: 0.07 % at 48 steps.

    Raises:
        BadInput: there is no such profile.
        OutOfRange: a number is outside its range.

    Source:
        exact-geometry

    >>> section_outline(profile="knife-edge", width_mm=2, thickness_mm=1.0)
    [(-1.0, 0.0), (1.0, 0.0), (1.0, 0.5), (0.0, 1.0), (-1.0, 0.5)]
    """
    shape_of(profile=profile)
    in_range(field="width_mm", value=width_mm, low=0.05, high=100)
    in_range(field="thickness_mm", value=thickness_mm, low=0.05, high=100)
    in_range(field="steps", value=steps, low=4, high=2000)
    half = width_mm / 2
    inside = [(-half, 0.0), (half, 0.0)]
    if profile == "flat":
        return [*inside, (half, thickness_mm), (-half, thickness_mm)]
    if profile == "knife-edge":
        wall = KNIFE_WALL * thickness_mm
        return [*inside, (half, wall), (0.0, thickness_mm), (-half, wall)]
    if profile == "half-round":
        return _arc(width_mm, thickness_mm, 0.0, steps)
    if profile == "comfort":
        rise = COMFORT_RISE * thickness_mm
        below = [(-x, y) for x, y in _arc(width_mm, -rise, rise, steps)]
        return [*below, (half, thickness_mm), (-half, thickness_mm)]
    middle = thickness_mm / 2
    upper = _arc(width_mm, middle, middle, steps)
    lower = [(-x, y) for x, y in _arc(width_mm, -middle, middle, steps)]
    return [*upper[:-1], *lower[:-1]]
