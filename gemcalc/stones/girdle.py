"""How a girdle thinner or thicker than medium moves the weight of a stone of given measures."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range


@dataclass(frozen=True, kw_only=True, slots=True)
class Girdle:
    """
    One word for a girdle's thickness, as reports print it.

    Args:
        key: The word, with hyphens.
        small: Multiplier for stones 3.1 to 4.1 mm wide, as printed or carried over (see `sources`).
        middle: Multiplier for stones 4.15 to 6.90 mm wide.
        large: Multiplier for stones 7.00 mm wide and more.
        table_low: Least multiplier of the second published table (rounds below 1.25 ct).
        table_high: Greatest multiplier of that table.
        sources: Keys of its sources.
    """

    key: str
    small: float
    middle: float
    large: float
    table_low: float
    table_high: float
    sources: tuple[str, ...]


def _row(key: str, *multipliers: float, sources: tuple[str, ...] = ("gemgate", "gcal-table")) -> Girdle:
    small, middle, large, table_low, table_high = multipliers
    return Girdle(
        key=key,
        small=small,
        middle=middle,
        large=large,
        table_low=table_low,
        table_high=table_high,
        sources=sources,
    )


GIRDLES: tuple[Girdle, ...] = (
    _row("extremely-thin", 0.97, 0.96, 0.95, 0.95, 0.97, sources=("gemgate",)),
    # No table prints this word: halfway between its neighbours.
    _row("very-thin", 0.9775, 0.97, 0.9625, 0.9625, 1.0, sources=("gemgate", "practice")),
    _row("thin", 0.985, 0.98, 0.975, 1.0, 1.0),
    _row("medium", 1.0, 1.0, 1.0, 1.0, 1.0),
    _row("slightly-thick", 1.03, 1.02, 1.01, 1.02, 1.03),
    _row("thick", 1.04, 1.03, 1.02, 1.03, 1.04),
    # Printed only inside worked examples (1.045 at 6.96 mm, 1.09 at 3.25 mm);
    # the other columns carry the step of 0.01 a column that the printed rows keep.
    _row("very-thick", 1.055, 1.045, 1.035, 1.06, 1.09, sources=("gemgate", "gcal-table", "practice")),
    _row("extremely-thick", 1.09, 1.08, 1.07, 1.08, 1.12, sources=("gemgate", "gcal-table", "practice")),
)
"""Girdle words, thin to thick. The second table is read with its lost dashes put back (2-3 %, ...)."""

_BY_KEY = {row.key: row for row in GIRDLES}
_ORDER = {row.key: place for place, row in enumerate(GIRDLES)}

# Between the printed columns (4.1 and 4.15 mm, 6.90 and 7.00 mm) the multiplier is led over in a short ramp:
# a jump would make a slightly larger stone lighter.
_FIRST_RAMP_MM = (4.05, 4.20)
_SECOND_RAMP_MM = (6.85, 7.00)


def _at_width(row: Girdle, width_mm: float) -> float:
    if width_mm <= _FIRST_RAMP_MM[0]:
        return row.small
    if width_mm < _FIRST_RAMP_MM[1]:
        share = (width_mm - _FIRST_RAMP_MM[0]) / (_FIRST_RAMP_MM[1] - _FIRST_RAMP_MM[0])
        return row.small + share * (row.middle - row.small)
    if width_mm <= _SECOND_RAMP_MM[0]:
        return row.middle
    if width_mm < _SECOND_RAMP_MM[1]:
        share = (width_mm - _SECOND_RAMP_MM[0]) / (_SECOND_RAMP_MM[1] - _SECOND_RAMP_MM[0])
        return row.middle + share * (row.large - row.middle)
    return row.large


def _ends(girdle: str) -> tuple[Girdle, Girdle]:
    row = _BY_KEY.get(girdle)
    if row is not None:
        return row, row
    words = "-".join(girdle.lower().replace("_", " ").replace("-", " ").split())
    first, joined, second = words.partition("-to-")
    one, other = _BY_KEY.get(first), _BY_KEY.get(second if joined else first)
    if one is None or other is None:
        raise BadInput(
            f"must be one of {', '.join(_BY_KEY)}, or two of them as in thin-to-medium", field="girdle"
        )
    return (one, other) if _ORDER[one.key] <= _ORDER[other.key] else (other, one)


def girdle_multiplier(*, girdle: str, width_mm: float) -> tuple[float, float, float]:
    """
    Multiplier on the weight for a girdle word: (estimate, low, high).

    A range such as `medium-to-slightly-thick` takes the mean of its two words.
    Every extra point of girdle (in % of the diameter) adds 2.1 % of weight at given diameter and depth,
    by the volume of a solid model.

    Args:
        girdle: One of the eight words, or two joined by `-to-`.
        width_mm: Width of the stone, mm, from 0.3 to 100.

    Returns:
        Three multipliers; low and high hold both published tables.

    Raises:
        BadInput: the word is not known.
        OutOfRange: *width_mm* is outside 0.3 to 100.

    Source:
        gemgate, gcal-table, exact-geometry

    Where we depart from the source:
        "Medium to slightly thick, 7 mm and more" is printed as 1.05; the mean of the two words is 1.005,
        and the other two columns are exactly such means, so 1.05 is taken for a slip.

    >>> girdle_multiplier(girdle="slightly-thick", width_mm=6.08)
    (1.02, 1.02, 1.03)
    """
    in_range(field="width_mm", value=width_mm, low=0.3, high=100.0)
    thin, thick = _ends(girdle)
    if thin is thick:
        estimate = _at_width(thin, width_mm)
        return estimate, min(estimate, thin.table_low), max(estimate, thin.table_high)
    one, other = _at_width(thin, width_mm), _at_width(thick, width_mm)
    return (one + other) / 2, min(one, thin.table_low), max(other, thick.table_high)
