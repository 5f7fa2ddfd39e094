"""How many equal round stones stand in a ring round a round centre: closed form."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range

# A ratio that is a whole number by geometry (six equal circles) must not lose a stone to the last bit.
_WHOLE = 1e-9


@dataclass(frozen=True, kw_only=True, slots=True)
class RingOfStones:
    """
    A ring of equal stones round a centre.

    Args:
        exact: How many would fit with the wanted gap, not rounded.
        count: How many whole stones fit.
        even_gap_mm: Gap between neighbours when *count* are spread evenly, mm.
        next_count_gap_mm: Gap with one stone more, mm; below zero they overlap.
        centre_line_diameter_mm: Diameter of the circle through the stones' centres, mm.
        outside_diameter_mm: Diameter over the stones, mm.
    """

    exact: float
    count: int
    even_gap_mm: float
    next_count_gap_mm: float
    centre_line_diameter_mm: float
    outside_diameter_mm: float


def ring_of_stones(
    *, centre_diameter_mm: float, melee_diameter_mm: float, clearance_mm: float, gap_mm: float
) -> RingOfStones:
    """
    Equal round stones in a ring round a round centre.

    Formula: n = pi / asin((d/2 + s/2) / (D/2 + g + d/2)), with D the centre, d the melee,
    g the clearance and s the gap; at n stones the gap is 2 r sin(pi/n) - d.
    Dividing the arc instead would count about a tenth of a stone too many.

    Args:
        centre_diameter_mm: Diameter of the centre stone, mm, from 0.5 to 60.
        melee_diameter_mm: Diameter of each stone of the ring, mm, from 0.3 to 60.
        clearance_mm: Clearance from the centre's girdle to each stone, mm, from 0 to 10.
        gap_mm: Gap wanted between neighbours, mm, from 0 to 10.

    Returns:
        Count and gaps, exact for true circles.

    Raises:
        BadInput: fewer than three stones would fit.
        OutOfRange: a measure is out of range.

    Source:
        exact-geometry, steiner-ring

    >>> ring = ring_of_stones(centre_diameter_mm=6.5, melee_diameter_mm=1.3, clearance_mm=0.15, gap_mm=0.1)
    >>> ring.exact, ring.count, ring.outside_diameter_mm
    (18.085, 18, 9.4)
    """
    in_range(field="centre_diameter_mm", value=centre_diameter_mm, low=0.5, high=60.0)
    in_range(field="melee_diameter_mm", value=melee_diameter_mm, low=0.3, high=60.0)
    in_range(field="clearance_mm", value=clearance_mm, low=0.0, high=10.0)
    in_range(field="gap_mm", value=gap_mm, low=0.0, high=10.0)
    radius_mm = centre_diameter_mm / 2 + clearance_mm + melee_diameter_mm / 2
    reach = (melee_diameter_mm + gap_mm) / 2 / radius_mm
    exact = math.pi / math.asin(reach) if reach <= 1 else 0.0
    count = math.floor(exact + _WHOLE)
    if count < 3:
        raise BadInput(
            "is too large for a ring round this centre: fewer than three stones fit",
            field="melee_diameter_mm",
        )
    return RingOfStones(
        exact=exact,
        count=count,
        even_gap_mm=even_gap_mm(centre_line_radius_mm=radius_mm, diameter_mm=melee_diameter_mm, count=count),
        next_count_gap_mm=even_gap_mm(
            centre_line_radius_mm=radius_mm, diameter_mm=melee_diameter_mm, count=count + 1
        ),
        centre_line_diameter_mm=2 * radius_mm,
        outside_diameter_mm=2 * radius_mm + melee_diameter_mm,
    )


def even_gap_mm(*, centre_line_radius_mm: float, diameter_mm: float, count: int) -> float:
    """
    Gap between neighbours of *count* equal stones spread evenly on a circle, mm.

    Formula: 2 r sin(pi / n) - d.

    Args:
        centre_line_radius_mm: Radius of the circle through the stones' centres, mm, from 0.1 to 100.
        diameter_mm: Diameter of each stone, mm, from 0.1 to 100.
        count: Stones, from 2 to 10000.

    Returns:
        The gap, mm, exact; below zero they overlap.

    Raises:
        OutOfRange: a figure is out of range.

    Source:
        exact-geometry

    >>> even_gap_mm(centre_line_radius_mm=4.05, diameter_mm=1.3, count=18)
    0.1066
    """
    in_range(field="centre_line_radius_mm", value=centre_line_radius_mm, low=0.1, high=100.0)
    in_range(field="diameter_mm", value=diameter_mm, low=0.1, high=100.0)
    in_range(field="count", value=count, low=2, high=10_000)
    return 2 * centre_line_radius_mm * math.sin(math.pi / count) - diameter_mm


def line_of_centres_mm(*, perimeter_mm: float, offset_mm: float) -> float:
    """
    Length of the line that runs at one distance round any convex outline, mm.

    Formula (Steiner): perimeter + 2 pi offset. Divided by diameter plus gap it tells nearly how many stones
    a ring round that outline takes: about a tenth of a stone too many.

    Args:
        perimeter_mm: Perimeter of the outline, mm, from 1 to 500.
        offset_mm: Distance outwards, mm, from 0 to 30; for stones their clearance plus half their diameter.

    Returns:
        The length, mm, exact for convex outlines.

    Raises:
        OutOfRange: a measure is out of range.

    Source:
        exact-geometry, shapely

    >>> line_of_centres_mm(perimeter_mm=22.1035, offset_mm=0.80)
    27.130
    """
    in_range(field="perimeter_mm", value=perimeter_mm, low=1.0, high=500.0)
    in_range(field="offset_mm", value=offset_mm, low=0.0, high=30.0)
    return perimeter_mm + 2 * math.pi * offset_mm


def gap_bead_diameters_mm(*, centre_diameter_mm: float, melee_diameter_mm: float) -> tuple[float, float]:
    """
    Beads that fill the gaps of touching stones: (inside, outside) diameter, mm.

    The inner bead touches the centre stone and two touching melee stones;
    the outer one the same two and the circle over the ring. By Descartes's theorem
    k4 = k1 + k2 + k3 + 2 sqrt(k1 k2 + k2 k3 + k3 k1) with curvatures k = 2 / diameter,
    that of an enclosing circle negative.

    Args:
        centre_diameter_mm: Diameter of the centre stone, mm, from 0.5 to 60.
        melee_diameter_mm: Diameter of each of two stones that touch it and each other, mm, from 0.3 to 60.

    Returns:
        Two diameters, mm, exact for true circles.

    Raises:
        OutOfRange: a measure is out of range.

    Source:
        steiner-ring

    >>> gap_bead_diameters_mm(centre_diameter_mm=6.5, melee_diameter_mm=1.3)
    (0.2847, 0.3665)
    """
    in_range(field="centre_diameter_mm", value=centre_diameter_mm, low=0.5, high=60.0)
    in_range(field="melee_diameter_mm", value=melee_diameter_mm, low=0.3, high=60.0)
    melee = 2 / melee_diameter_mm
    beads = []
    for other in (2 / centre_diameter_mm, -2 / (centre_diameter_mm + 2 * melee_diameter_mm)):
        root = math.sqrt(max(0.0, melee * melee + 2 * melee * other))
        beads.append(2 / (2 * melee + other + 2 * root))
    return beads[0], beads[1]
