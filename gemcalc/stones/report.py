"""The figures of a grading report, worked out again."""

from __future__ import annotations

from gemcalc.errors import BadInput, in_range
from gemcalc.stones.size import GAUGE_MM_AT_1_CT, REAL_MM_AT_1_CT, diameter_by_law


def mean_diameter_mm(*, diameter_min_mm: float, diameter_max_mm: float) -> float:
    """
    Mean diameter of a round, mm, from the two that a report prints.

    Args:
        diameter_min_mm: Least diameter, mm, from 0.3 to 100.
        diameter_max_mm: Greatest diameter, mm, from 0.3 to 100.

    Returns:
        Half of their sum, mm; scanners average all readings and may differ by 0.01.

    Raises:
        BadInput: the least is above the greatest.
        OutOfRange: a diameter is out of range.

    Source:
        i-cgs

    >>> mean_diameter_mm(diameter_min_mm=6.48, diameter_max_mm=6.51)
    6.495
    """
    in_range(field="diameter_min_mm", value=diameter_min_mm, low=0.3, high=100.0)
    in_range(field="diameter_max_mm", value=diameter_max_mm, low=0.3, high=100.0)
    if diameter_min_mm > diameter_max_mm:
        raise BadInput("must not be above the greatest diameter", field="diameter_min_mm")
    return (diameter_min_mm + diameter_max_mm) / 2


def depth_percent(*, depth_mm: float, across_mm: float) -> float:
    """
    Total depth in %.

    Args:
        depth_mm: Depth, mm, from 0.1 to 100.
        across_mm: Mean diameter of a round or width of any other cut, mm, from 0.3 to 100.

    Returns:
        100 x depth / across, %. Laboratories repeat it to about 0.4 points.

    Raises:
        OutOfRange: a measure is out of range.

    Source:
        report-guides

    >>> depth_percent(depth_mm=3.96, across_mm=6.495)
    60.97
    """
    in_range(field="depth_mm", value=depth_mm, low=0.1, high=100.0)
    in_range(field="across_mm", value=across_mm, low=0.3, high=100.0)
    return 100 * depth_mm / across_mm


def depth_from_percent(*, depth_pct: float, across_mm: float) -> float:
    """
    Depth, mm, from the depth in % that a report prints.

    Args:
        depth_pct: Depth in %, from 10 to 120.
        across_mm: Mean diameter of a round or width of any other cut, mm, from 0.3 to 100.

    Returns:
        The depth, mm, to half of the last printed digit of the percentage.

    Raises:
        OutOfRange: a figure is out of range.

    Source:
        report-guides

    >>> depth_from_percent(depth_pct=63.2, across_mm=9.21)
    5.82
    """
    in_range(field="depth_pct", value=depth_pct, low=10.0, high=120.0)
    in_range(field="across_mm", value=across_mm, low=0.3, high=100.0)
    return depth_pct * across_mm / 100


def length_to_width(*, length_mm: float, width_mm: float) -> float:
    """
    Length divided by greatest width, as reports print it before ":1".

    Args:
        length_mm: Length, mm, from 0.3 to 100.
        width_mm: Greatest width, mm, from 0.3 to 100.

    Returns:
        The ratio; reports print two decimals.

    Raises:
        OutOfRange: a measure is out of range.

    Source:
        gemgate

    >>> length_to_width(length_mm=10.24, width_mm=6.11)
    1.676
    """
    in_range(field="length_mm", value=length_mm, low=0.3, high=100.0)
    in_range(field="width_mm", value=width_mm, low=0.3, high=100.0)
    return length_mm / width_mm


def table_percent(*, table_widths_mm: tuple[float, ...], mean_diameter_mm: float) -> float:
    """
    Table in % of the mean diameter of a round.

    Args:
        table_widths_mm: Corner-to-corner widths of the table, mm; four of them for a brilliant.
        mean_diameter_mm: Mean girdle diameter, mm, from 0.3 to 100.

    Returns:
        100 x mean of the widths / mean diameter, %.

    Raises:
        BadInput: no width is given.
        OutOfRange: a width is not from 0.05 mm up to the diameter, or the diameter is out of range.

    Source:
        iso-24016

    >>> table_percent(table_widths_mm=(3.70, 3.72, 3.69, 3.73), mean_diameter_mm=6.495)
    57.1
    """
    in_range(field="mean_diameter_mm", value=mean_diameter_mm, low=0.3, high=100.0)
    if not table_widths_mm:
        raise BadInput("needs at least one width", field="table_widths_mm")
    for width in table_widths_mm:
        in_range(field="table_widths_mm", value=width, low=0.05, high=mean_diameter_mm)
    return 100 * sum(table_widths_mm) / len(table_widths_mm) / mean_diameter_mm


def spread_percent(*, diameter_mm: float, weight_ct: float, species: str = "diamond") -> dict[str, float]:
    """
    How much larger a round looks than the usual stone of its weight, % of diameter, by each law.

    Args:
        diameter_mm: Mean diameter, mm, from 0.3 to 100.
        weight_ct: Weight, ct, from 0.001 to 1000.
        species: Name of the species.

    Returns:
        `real-stones` and `published-gauge`: % above (or below, negative) the law's diameter.

    Raises:
        BadInput: the species is not known.
        OutOfRange: a figure is out of range.

    Source:
        plotnine-diamonds, hole-gauge

    >>> spread_percent(diameter_mm=6.5, weight_ct=1.0)
    {'real-stones': 1.25, 'published-gauge': 0.0}
    """
    in_range(field="diameter_mm", value=diameter_mm, low=0.3, high=100.0)
    laws = {"real-stones": REAL_MM_AT_1_CT, "published-gauge": GAUGE_MM_AT_1_CT}
    return {
        name: 100
        * (diameter_mm / diameter_by_law(weight_ct=weight_ct, diameter_at_1_ct_mm=law, species=species) - 1)
        for name, law in laws.items()
    }
