"""
Marks on a stone in a setter's words: clock positions, how much a mark hurts,
and the sectors that claws cover.

Directions are degrees anticlockwise from +x, seen from above; twelve o'clock is +y,
and the clock runs the other way.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from gemcalc.covered import Claw
from gemcalc.errors import BadInput, in_range

CLOCK_WORDS = re.compile(
    r"\s*(?P<hour>\d{1,2})(?:(?::(?P<minute>\d{2}))|(?P<half>½|\.5|\s+1/2))?\s*(?:o['’]?\s?clock)?\s*",
    re.IGNORECASE,
)


def angle_from_clock(*, clock: str) -> float:
    """
    Direction in degrees anticlockwise from +x of a clock position: "4 o'clock", "4", "4½" or "4:30".

    Formula: angle = 90 − 30 · hours, hours of a dial with twelve at the top (+y).

    Args:
        clock: The position in words, hours from 0 to 12 and minutes from 00 to 59.

    Returns:
        Direction, degrees, in [0, 360). Exact.

    Raises:
        BadInput: these are not the words of a clock position.

    Source:
        exact-geometry

    >>> angle_from_clock(clock="4 o'clock")
    330.0
    """
    found = CLOCK_WORDS.fullmatch(clock) if len(clock) <= 40 else None
    hour = int(found["hour"]) if found else -1
    minute = int(found["minute"] or (30 if found["half"] else 0)) if found else 0
    if not 0 <= hour <= 12 or minute > 59:
        raise BadInput("must be a clock position such as 4 o'clock, 4½ or 4:30", field="clock")
    return (90.0 - 30.0 * (hour + minute / 60)) % 360.0


def clock_from_angle(*, angle_deg: float) -> str:
    """
    Clock position of a direction, to the nearest half hour (15° of a turn).

    Args:
        angle_deg: Direction, degrees anticlockwise from +x, from −36,000 to 36,000.

    Returns:
        Words such as "4 o'clock" or "4½ o'clock"; off by 7.5° at most.

    Raises:
        OutOfRange: *angle_deg* is not in its range.

    Source:
        exact-geometry

    >>> clock_from_angle(angle_deg=330), clock_from_angle(angle_deg=90)
    ("4 o'clock", "12 o'clock")
    """
    in_range(field="angle_deg", value=angle_deg, low=-36000, high=36000)
    halves = round((90.0 - angle_deg) / 15.0) % 24
    hour, half = divmod(halves, 2)
    return f"{hour or 12}{'½' if half else ''} o'clock"


@dataclass(frozen=True, kw_only=True)
class MarkKind:
    """
    One kind of mark.

    Args:
        key: Its short name.
        words: What a setter calls it.
        severity: How much it hurts the look against a small crystal, 1.
        bears_claw: Whether a claw may bear on it where it reaches the surface.
        source: Key of the source of the weight.
    """

    key: str
    words: str
    severity: float
    bears_claw: bool
    source: str


MARK_KINDS: dict[str, MarkKind] = {
    kind.key: kind
    for kind in (
        MarkKind(key="crystal", words="Light crystal", severity=1.0, bears_claw=True, source="practice"),
        MarkKind(key="dark-crystal", words="Dark crystal", severity=2.0, bears_claw=True, source="practice"),
        MarkKind(key="feather", words="Feather", severity=1.2, bears_claw=False, source="practice"),
        MarkKind(key="cloud", words="Cloud", severity=0.6, bears_claw=True, source="practice"),
        MarkKind(key="needle", words="Needle", severity=0.7, bears_claw=True, source="practice"),
        MarkKind(key="chip", words="Chip or nick", severity=1.5, bears_claw=False, source="practice"),
        MarkKind(key="natural", words="Natural", severity=0.8, bears_claw=True, source="practice"),
        MarkKind(key="cavity", words="Cavity", severity=1.5, bears_claw=False, source="practice"),
        MarkKind(key="abrasion", words="Worn facet edge", severity=0.5, bears_claw=True, source="practice"),
    )
}
"""Kinds of marks with weights for the eye: a maker's judgement, no published source found."""

SURFACE_FACTOR = 1.3
"""A mark that reaches the surface catches light and dirt: it counts this much more. Source: practice."""


@dataclass(frozen=True, kw_only=True)
class Severity:
    """How much a mark hurts, and the caution that goes with hiding it, empty where there is none."""

    weight: float
    caution: str
    source: str


def mark_severity(*, kind: str, reaches_surface: bool) -> Severity:
    """
    Weight of a mark for hiding it, a small light crystal inside the stone being 1;
    the disc's area is weighed apart.

    Args:
        kind: Key of the kind of mark.
        reaches_surface: Whether it comes to the surface.

    Returns:
        The weight, and a caution where a claw should not bear on the mark.

    Raises:
        BadInput: *kind* is not known.

    Source:
        practice

    >>> mark_severity(kind="crystal", reaches_surface=False).weight
    1.0
    """
    if kind not in MARK_KINDS:
        raise BadInput(f"must be one of {', '.join(MARK_KINDS)}", field="kind")
    known = MARK_KINDS[kind]
    caution = ""
    if reaches_surface and not known.bears_claw:
        caution = (
            f"{known.words} at the surface: a claw that bears on it can break the stone. "
            "Hide it beside the bearing or leave it free, and agree the risk before setting."
        )
    return Severity(
        weight=known.severity * (SURFACE_FACTOR if reaches_surface else 1.0),
        caution=caution,
        source=known.source,
    )


def claw_sectors(
    *, count: int, first_angle_deg: float, stone_diameter_mm: float, claw_width_mm: float, reach_mm: float
) -> list[Claw]:
    """
    The sectors that evenly spaced claws cover on a round stone.

    The half width is taken at the girdle: asin(claw width / stone diameter).

    Args:
        count: Number of claws, 2 to 24.
        first_angle_deg: Direction of the first, degrees anticlockwise from +x, from −360 to 360.
        stone_diameter_mm: Diameter of the stone, mm, 1 to 60.
        claw_width_mm: Width of a claw over the stone, mm, above 0 and less than the stone.
        reach_mm: How far a claw's tip comes in over the girdle, mm, 0 to half the stone.

    Returns:
        The claws, with tips as shares of the stone's radius.

    Raises:
        OutOfRange: a measure is outside its range.

    Source:
        exact-geometry

    >>> claw, *others = claw_sectors(
    ...     count=4, first_angle_deg=45, stone_diameter_mm=6.5, claw_width_mm=1, reach_mm=0.65
    ... )
    >>> round(claw.half_width_deg, 2), round(claw.inner_r, 2)
    (8.85, 0.8)
    """
    in_range(field="count", value=count, low=2, high=24)
    in_range(field="first_angle_deg", value=first_angle_deg, low=-360, high=360)
    in_range(field="stone_diameter_mm", value=stone_diameter_mm, low=1, high=60)
    in_range(field="claw_width_mm", value=claw_width_mm, low=0.05, high=0.99 * stone_diameter_mm)
    in_range(field="reach_mm", value=reach_mm, low=0, high=stone_diameter_mm / 2)
    half_width = math.degrees(math.asin(claw_width_mm / stone_diameter_mm))
    inner = 1 - 2 * reach_mm / stone_diameter_mm
    return [
        Claw(
            angle_deg=(first_angle_deg + place * 360 / count) % 360, half_width_deg=half_width, inner_r=inner
        )
        for place in range(count)
    ]
