"""A lot of melee held against the scale: count, weight and the mean of one stone."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range
from gemcalc.melee.sizes import melee_of_diameter, plate_of_diameter

LOT_BAND_PCT = 15.0
"""How far a lot's mean may lie from the chart, %. Source: sieve-chart, round-chart."""

# A ratio this near to ten (or a tenth) is read as a slipped decimal point.
_SLIP = (0.7, 1.45)


@dataclass(frozen=True, kw_only=True, slots=True)
class LotCheck:
    """
    A lot held against the chart and the scale.

    Args:
        mean_ct: Weight of the lot divided by its count, ct.
        expected_ct: Weight of one stone by the chart, ct.
        low_ct: Low end that a lot's mean may have, ct.
        high_ct: High end, ct.
        expected_lot_ct: Weight that the count should have, ct.
        expected_count: Stones that the weight should hold.
        verdict: `agrees`, `outside`, or `tenfold` where the decimal point has slipped.
        findings: What does not fit, one sentence each.
    """

    mean_ct: float
    expected_ct: float
    low_ct: float
    high_ct: float
    expected_lot_ct: float
    expected_count: float
    verdict: str
    findings: tuple[str, ...]


def mean_weight_ct(*, count: int, weight_ct: float) -> float:
    """
    Mean weight of one stone of a lot, ct.

    Args:
        count: Stones, from 1 to 1000000.
        weight_ct: Weight of the lot, ct, from 0.0005 to 100000.

    Returns:
        Weight divided by count, ct, exact.

    Raises:
        OutOfRange: a figure is out of range.

    Source:
        exact-geometry

    >>> mean_weight_ct(count=120, weight_ct=1.14)
    0.0095
    """
    in_range(field="count", value=count, low=1, high=1_000_000)
    in_range(field="weight_ct", value=weight_ct, low=0.0005, high=100_000.0)
    return weight_ct / count


def weight_of_count_ct(*, count: int, diameter_mm: float) -> tuple[float, float, float]:
    """
    Weight of *count* stones of a diameter: (estimate, low, high), ct.

    Args:
        count: Stones, from 1 to 1000000.
        diameter_mm: Diameter, mm, from 0.70 to 4.50.

    Returns:
        Three weights, ct; good to 15 % either way, since a chart's error is the same for every stone.

    Raises:
        OutOfRange: a figure is out of range.

    Source:
        sieve-chart

    >>> weight_of_count_ct(count=40, diameter_mm=1.85)[0]
    1.0
    """
    in_range(field="count", value=count, low=1, high=1_000_000)
    size = melee_of_diameter(diameter_mm=diameter_mm)
    return count * size.weight_ct, count * size.low_ct, count * size.high_ct


def count_in_weight(*, weight_ct: float, diameter_mm: float) -> tuple[float, float, float]:
    """
    Stones of a diameter in a weight: (estimate, low, high), not rounded.

    Args:
        weight_ct: Weight of the lot, ct, from 0.0005 to 100000.
        diameter_mm: Diameter, mm, from 0.70 to 4.50.

    Returns:
        Three counts; good to 15 % either way.

    Raises:
        OutOfRange: a figure is out of range.

    Source:
        sieve-chart

    >>> count_in_weight(weight_ct=1.0, diameter_mm=1.85)[0]
    40.0
    """
    in_range(field="weight_ct", value=weight_ct, low=0.0005, high=100_000.0)
    size = melee_of_diameter(diameter_mm=diameter_mm)
    return weight_ct / size.weight_ct, weight_ct / size.high_ct, weight_ct / size.low_ct


def diameter_spread_mm(*, diameters_mm: tuple[float, ...]) -> tuple[float, float, float]:
    """
    Mean, least and greatest of the stones measured from a lot, mm.

    Args:
        diameters_mm: Measured diameters, mm, each from 0.5 to 5; five of them are the custom.

    Returns:
        (mean, least, greatest), mm.

    Raises:
        BadInput: none is given.
        OutOfRange: one is out of range.

    Source:
        practice

    >>> diameter_spread_mm(diameters_mm=(1.28, 1.30, 1.31, 1.29, 1.32))
    (1.30, 1.28, 1.32)
    """
    if not diameters_mm:
        raise BadInput("needs at least one measured stone", field="diameters_mm")
    for diameter in diameters_mm:
        in_range(field="diameters_mm", value=diameter, low=0.5, high=5.0)
    return sum(diameters_mm) / len(diameters_mm), min(diameters_mm), max(diameters_mm)


def check_lot(
    *, count: int, weight_ct: float, diameter_mm: float, stated_mean_ct: float | None = None
) -> LotCheck:
    """
    Hold a lot's count and weight against the chart, and a typed mean against the scale.

    Printed tables themselves contain tenfold slips, so the scale decides, never a typed mean.

    Args:
        count: Stones counted, from 1 to 1000000.
        weight_ct: Weight of the lot on the scale, ct, from 0.0005 to 100000.
        diameter_mm: Mean diameter of the lot, mm, from 0.70 to 4.50.
        stated_mean_ct: Mean weight that a list or parcel paper states, ct, from 0.00001 to 10, or None.

    Returns:
        The check. It cannot see a few wrong stones in a large lot: look at them.

    Raises:
        OutOfRange: a figure is out of range.

    Source:
        sieve-chart, sieve-seller, round-chart, practice

    >>> check_lot(count=100, weight_ct=9.5, diameter_mm=1.30).verdict
    'tenfold'
    """
    mean_ct = mean_weight_ct(count=count, weight_ct=weight_ct)
    size = melee_of_diameter(diameter_mm=diameter_mm)
    share = LOT_BAND_PCT / 100
    low_ct, high_ct = min(size.low_ct, size.weight_ct * (1 - share)), size.weight_ct * (1 + share)
    findings: list[str] = []
    verdict = "agrees"
    if not low_ct <= mean_ct <= high_ct:
        slip = _tenfold(mean_ct / size.weight_ct)
        verdict = "tenfold" if slip else "outside"
        sieve = plate_of_diameter(diameter_mm=diameter_mm).sieve
        findings.append(
            slip
            or f"One stone weighs {mean_ct:.4f} ct on the scale; "
            f"the chart expects {low_ct:.4f} to {high_ct:.4f} ct for {diameter_mm:g} mm (sieve {sieve}). "
            "Count again and measure five stones."
        )
    if stated_mean_ct is not None:
        in_range(field="stated_mean_ct", value=stated_mean_ct, low=0.00001, high=10.0)
        against = stated_mean_ct / mean_ct
        if not 1 - share <= against <= 1 + share:
            slip = _tenfold(against)
            verdict = "tenfold" if slip or verdict == "tenfold" else "outside"
            findings.append(
                f"The paper says {stated_mean_ct:g} ct a stone; count and scale give {mean_ct:.4f} ct"
                + (": its decimal point has slipped." if slip else ".")
            )
    return LotCheck(
        mean_ct=mean_ct,
        expected_ct=size.weight_ct,
        low_ct=low_ct,
        high_ct=high_ct,
        expected_lot_ct=count * size.weight_ct,
        expected_count=weight_ct / size.weight_ct,
        verdict=verdict,
        findings=tuple(findings),
    )


def _tenfold(ratio: float) -> str:
    """Words for a ratio near ten or a tenth, or nothing."""
    low, high = _SLIP
    if low * 10 <= ratio <= high * 10:
        return "The mean is about ten times too heavy for this size: a decimal point has slipped."
    if low / 10 <= ratio <= high / 10:
        return "The mean is about ten times too light for this size: a decimal point has slipped."
    return ""
