"""Where published ring size charts disagree, and what that means for one size."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gemcalc.errors import in_range
from gemcalc.rings.systems import INCH_MM, US_STEP_DIAMETER_MM, US_ZERO_DIAMETER_MM

CONVENTION_SPREAD_MM = 0.12
"""How far charts differ for one size, diameter, mm either way. Source: ring-chart, rowlett."""

WIDE_BAND_MM = 5.0
"""From this width on a band is called wide and feels tighter, mm. Source: practice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class UsConvention:
    """
    One published line for US sizes.

    Args:
        name: How it is printed.
        zero_mm: Inside diameter of size 0, mm.
        step_mm: Inside diameter for each size, mm.
        source: Key of its source.
    """

    name: str
    zero_mm: float
    step_mm: float
    source: str


US_CONVENTIONS: tuple[UsConvention, ...] = (
    UsConvention(
        name="0.458 + 0.032 n inch of diameter",
        zero_mm=US_ZERO_DIAMETER_MM,
        step_mm=US_STEP_DIAMETER_MM,
        source="wikipedia-ring-size",
    ),
    UsConvention(
        name="1.4216 + 0.1018 n inch of circumference",
        zero_mm=1.4216 * INCH_MM / math.pi,
        step_mm=0.1018 * INCH_MM / math.pi,
        source="gnu-units",
    ),
    UsConvention(
        name="1.43 + 0.102 n inch of circumference",
        zero_mm=1.43 * INCH_MM / math.pi,
        step_mm=0.102 * INCH_MM / math.pi,
        source="rowlett",
    ),
    UsConvention(
        name="36.5 + 2.55 n mm of circumference",
        zero_mm=36.5 / math.pi,
        step_mm=2.55 / math.pi,
        source="ring-chart",
    ),
    UsConvention(
        name="0.4544 + 0.03265 n inch of diameter (a line through a printed chart)",
        zero_mm=0.4544 * INCH_MM,
        step_mm=0.03265 * INCH_MM,
        source="igs-ring-chart",
    ),
    UsConvention(name="11.54 + 0.83 n mm of diameter", zero_mm=11.54, step_mm=0.83, source="chard-ring-size"),
)
"""Six lines in circulation for one and the same US size; ours is the first."""


def us_diameters_mm(*, steps: float) -> dict[str, float]:
    """
    Inside diameter of one US size by each published convention, mm.

    Args:
        steps: US size, from 0 to 20.

    Returns:
        {source key: diameter}, mm.

    Raises:
        OutOfRange: the size is out of range.

    Source:
        wikipedia-ring-size, gnu-units, rowlett, ring-chart, igs-ring-chart, chard-ring-size

    >>> [f"{diameter:.2f}" for diameter in us_diameters_mm(steps=7).values()]
    ['17.32', '17.26', '17.33', '17.30', '17.35', '17.35']
    """
    in_range(field="size", value=steps, low=0.0, high=20.0)
    return {row.source: row.zero_mm + row.step_mm * steps for row in US_CONVENTIONS}


def us_spread_mm(*, steps: float) -> float:
    """
    Greatest less least inside diameter of one US size across conventions, mm.

    Args:
        steps: US size, from 0 to 20.

    Returns:
        The spread, mm.

    Raises:
        OutOfRange: the size is out of range.

    Source:
        ring-chart, rowlett, gnu-units

    >>> us_spread_mm(steps=7)
    0.10
    """
    diameters = us_diameters_mm(steps=steps).values()
    return max(diameters) - min(diameters)


def uk_chart_circumference_mm(*, steps: float) -> float:
    """
    Inner circumference, mm, that the popular chart gives a UK size: its letters hang on US half sizes.

    The chart pairs B with US 1, D with US 2 and so on up to H with US 4;
    from J½ with US 5 on it jumps by half a letter.

    Args:
        steps: Steps above A, from 0 to 24.

    Returns:
        The chart's circumference, mm; BS 6820 is the standard and lies up to 0.6 mm lower at its start.

    Raises:
        OutOfRange: the size is out of range.

    Source:
        ring-chart, bs-6820

    >>> uk_chart_circumference_mm(steps=1)
    39.1
    """
    in_range(field="size", value=steps, low=0.0, high=24.0)
    us_size = (steps + 1) / 2 if steps <= 8.5 else (steps + 0.5) / 2
    return math.pi * (US_ZERO_DIAMETER_MM + US_STEP_DIAMETER_MM * us_size)
