"""Ring sizes as they are worn: the nearest size one can buy, and its name."""

from __future__ import annotations

import math

from gemcalc.errors import in_range
from gemcalc.rings.systems import GREATEST_CIRCUMFERENCE_MM, LEAST_CIRCUMFERENCE_MM, steps_of

_QUARTERS = ("", "¼", "½", "¾")


def iso_label(*, circumference_mm: float) -> str:
    """
    Designation of the nearest whole ISO size.

    Args:
        circumference_mm: Inner circumference, mm, from 30 to 90.

    Returns:
        Such as `ISO 8653-54`; halves go up. The standard's ring stick runs from 41 to 76.

    Raises:
        OutOfRange: the circumference is out of range.

    Source:
        jis-s-4700, iso-8653

    >>> iso_label(circumference_mm=43.4)
    'ISO 8653-43'
    """
    in_range(
        field="circumference_mm",
        value=circumference_mm,
        low=LEAST_CIRCUMFERENCE_MM,
        high=GREATEST_CIRCUMFERENCE_MM,
    )
    return f"ISO 8653-{_nearest(circumference_mm, parts=1):.0f}"


def us_label(*, circumference_mm: float) -> str:
    """
    Nearest quarter of a US size.

    Args:
        circumference_mm: Inner circumference, mm, from 30 to 90.

    Returns:
        Such as `6½`; `below 0` under the first size.

    Raises:
        OutOfRange: the circumference is out of range.

    Source:
        wikipedia-ring-size, practice

    >>> us_label(circumference_mm=53.1)
    '6½'
    """
    steps = _nearest(steps_of(system="us", circumference_mm=circumference_mm), parts=4)
    return "below 0" if steps < 0 else _with_quarters(steps)


def uk_label(*, circumference_mm: float) -> str:
    """
    Nearest half of a UK size.

    Args:
        circumference_mm: Inner circumference, mm, from 30 to 90.

    Returns:
        Such as `N½`; `Z+1` after Z; `below A` under the first size.

    Raises:
        OutOfRange: the circumference is out of range.

    Source:
        bs-6820

    >>> [uk_label(circumference_mm=c) for c in (54.42, 68.75, 70.625)]
    ['N½', 'Z', 'Z+1½']
    """
    steps = _nearest(steps_of(system="uk", circumference_mm=circumference_mm), parts=2)
    if steps < 0:
        return "below A"
    whole = math.floor(steps)
    part = _QUARTERS[round(4 * (steps - whole))]
    if whole <= 25:
        return f"{chr(ord('A') + whole)}{part}"
    return f"Z+{whole - 25}{part}"


def jp_label(*, circumference_mm: float) -> str:
    """
    Nearest whole Japanese size.

    Args:
        circumference_mm: Inner circumference, mm, from 30 to 90.

    Returns:
        Such as `14`; `below 1` under the first size.

    Raises:
        OutOfRange: the circumference is out of range.

    Source:
        jcs-pages

    >>> jp_label(circumference_mm=54.42)
    '14'
    """
    steps = _nearest(steps_of(system="jp", circumference_mm=circumference_mm), parts=1)
    return "below 1" if steps < 1 else f"{steps:.0f}"


def ch_label(*, circumference_mm: float) -> str:
    """
    Nearest quarter of a Swiss or Italian size.

    Args:
        circumference_mm: Inner circumference, mm, from 30 to 90.

    Returns:
        Such as `14¼`; `below 0` under 40 mm.

    Raises:
        OutOfRange: the circumference is out of range.

    Source:
        rowlett, practice

    >>> ch_label(circumference_mm=54.3)
    '14¼'
    """
    steps = _nearest(steps_of(system="ch", circumference_mm=circumference_mm), parts=4)
    return "below 0" if steps < 0 else _with_quarters(steps)


def _nearest(steps: float, *, parts: int) -> float:
    # A hair's breadth is added so that a half reached by floating point goes up like a half reached exactly.
    return math.floor(parts * steps + 0.5 + 1e-9) / parts


def _with_quarters(steps: float) -> str:
    whole = math.floor(steps)
    return f"{whole}{_QUARTERS[round(4 * (steps - whole))]}"
