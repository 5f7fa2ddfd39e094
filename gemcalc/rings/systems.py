"""The five ring size systems as exact formulas over the inner circumference in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from gemcalc.errors import BadInput, in_range

System = Literal["iso", "us", "uk", "jp", "ch"]

LEAST_CIRCUMFERENCE_MM = 30.0
GREATEST_CIRCUMFERENCE_MM = 90.0

INCH_MM = 25.4
"""One inch, mm, exact. Source: gnu-units."""

US_ZERO_DIAMETER_MM = 0.458 * INCH_MM
"""Inside diameter of US size 0, mm. Source: wikipedia-ring-size."""

US_STEP_DIAMETER_MM = 0.032 * INCH_MM
"""Inside diameter for each US size, mm. Source: wikipedia-ring-size."""

UK_A_CIRCUMFERENCE_MM = 37.5
"""Inner circumference of UK size A, mm. Source: bs-6820."""

UK_STEP_CIRCUMFERENCE_MM = 1.25
"""Inner circumference for each UK letter, mm. Source: bs-6820."""

JP_ZERO_DIAMETER_MM = 38 / 3
"""Inside diameter of Japanese size 0, mm, so that size 19 is 19.0 mm. Source: jcs-pages."""

JP_STEP_DIAMETER_MM = 1 / 3
"""Inside diameter for each Japanese size, mm. Source: jcs-pages."""

CH_OFFSET_MM = 40.0
"""Swiss and Italian sizes are the circumference less this, mm. Source: rowlett, gnu-units."""


@dataclass(frozen=True, kw_only=True, slots=True)
class Linear:
    """
    A system whose number rises evenly with the circumference.

    Args:
        system: Our short word for it.
        name: Where it is worn.
        zero_mm: Inner circumference of its size 0 (for letters: A), mm.
        step_mm: Circumference for each whole size, mm.
        sources: Keys of its sources.
    """

    system: System
    name: str
    zero_mm: float
    step_mm: float
    sources: tuple[str, ...]


SYSTEMS: tuple[Linear, ...] = (
    Linear(system="iso", name="ISO 8653", zero_mm=0.0, step_mm=1.0, sources=("iso-8653", "jis-s-4700")),
    Linear(
        system="us",
        name="US and Canada",
        zero_mm=math.pi * US_ZERO_DIAMETER_MM,
        step_mm=math.pi * US_STEP_DIAMETER_MM,
        sources=("wikipedia-ring-size", "ring-chart"),
    ),
    Linear(
        system="uk",
        name="UK, Ireland and Australia",
        zero_mm=UK_A_CIRCUMFERENCE_MM,
        step_mm=UK_STEP_CIRCUMFERENCE_MM,
        sources=("bs-6820",),
    ),
    Linear(
        system="jp",
        name="Japan",
        zero_mm=math.pi * JP_ZERO_DIAMETER_MM,
        step_mm=math.pi * JP_STEP_DIAMETER_MM,
        sources=("jcs-pages", "gnu-units"),
    ),
    Linear(
        system="ch",
        name="Switzerland and Italy",
        zero_mm=CH_OFFSET_MM,
        step_mm=1.0,
        sources=("rowlett", "gnu-units"),
    ),
)
"""The five systems, each a straight line over the circumference."""

_BY_SYSTEM = {row.system: row for row in SYSTEMS}


def system_named(*, system: str) -> Linear:
    """
    Row of the ring size system called *system*.

    Args:
        system: One of `iso`, `us`, `uk`, `jp`, `ch`.

    Returns:
        The row.

    Raises:
        BadInput: there is no such system.

    Source:
        iso-8653, wikipedia-ring-size, bs-6820, jcs-pages, rowlett

    >>> system_named(system="uk").step_mm
    1.25
    """
    for row in SYSTEMS:
        if row.system == system:
            return row
    raise BadInput(f"must be one of {', '.join(_BY_SYSTEM)}", field="system")


def circumference_mm(*, system: str, steps: float) -> float:
    """
    Inner circumference, mm, of a size given as a number.

    Args:
        system: One of `iso`, `us`, `uk`, `jp`, `ch`.
        steps: The size as a number; for `uk` steps above A.

    Returns:
        The circumference, mm, by the system's own formula (±0.03 mm); charts differ, see the notes.

    Raises:
        BadInput: there is no such system.
        OutOfRange: the size lies outside 30 to 90 mm.

    Source:
        iso-8653, wikipedia-ring-size, bs-6820, jcs-pages, rowlett

    >>> circumference_mm(system="us", steps=7)
    54.42
    """
    row = system_named(system=system)
    low, high = (
        (end - row.zero_mm) / row.step_mm for end in (LEAST_CIRCUMFERENCE_MM, GREATEST_CIRCUMFERENCE_MM)
    )
    in_range(field="size", value=steps, low=low, high=high)
    return row.zero_mm + row.step_mm * steps


def steps_of(*, system: str, circumference_mm: float) -> float:
    """
    Size as an exact number, not rounded, of an inner circumference.

    Args:
        system: One of `iso`, `us`, `uk`, `jp`, `ch`.
        circumference_mm: Inner circumference, mm, from 30 to 90.

    Returns:
        The number; for `uk` steps above A; negative below the system's first size.

    Raises:
        BadInput: there is no such system.
        OutOfRange: the circumference is out of range.

    Source:
        iso-8653, wikipedia-ring-size, bs-6820, jcs-pages, rowlett

    >>> steps_of(system="uk", circumference_mm=53.75)
    13.0
    """
    in_range(
        field="circumference_mm",
        value=circumference_mm,
        low=LEAST_CIRCUMFERENCE_MM,
        high=GREATEST_CIRCUMFERENCE_MM,
    )
    row = system_named(system=system)
    return (circumference_mm - row.zero_mm) / row.step_mm
