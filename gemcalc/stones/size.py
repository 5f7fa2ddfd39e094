"""Millimetres of a stone from its weight."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range
from gemcalc.stones.cuts import Cut
from gemcalc.stones.factors import cut_named, factor_at
from gemcalc.stones.species import species_named
from gemcalc.stones.weight import FACTOR_DENSITY_G_CM3

GAUGE_MM_AT_1_CT = 6.50
"""Diameter of a round diamond of 1 ct by the published gauge, mm. Source: hole-gauge."""

REAL_MM_AT_1_CT = 6.42
"""Diameter of a round diamond of 1 ct by the median of real stones, mm. Source: plotnine-diamonds."""

REAL_LOW_MM_AT_1_CT = 6.25
REAL_HIGH_MM_AT_1_CT = 6.57
"""Diameters per cube root of ct between which 95 of 100 real stones lie, mm. Source: plotnine-diamonds."""

_BAND_CHART = 0.05
_BAND_PRACTICE = 0.09


@dataclass(frozen=True, kw_only=True, slots=True)
class SizeEstimate:
    """
    The expected length and width of a stone of given weight.

    Args:
        length_mm: Expected length or diameter, mm.
        width_mm: Expected width, mm.
        low_mm: Low end of the length, mm.
        high_mm: High end of the length, mm.
        depth_mm: Depth that the estimate assumes, mm.
        laws: Length by each named law, mm.
        why: The reasons, one sentence each.
        sources: Keys of the sources used.
    """

    length_mm: float
    width_mm: float
    low_mm: float
    high_mm: float
    depth_mm: float
    laws: dict[str, float]
    why: tuple[str, ...]
    sources: tuple[str, ...]


def diameter_by_law(*, weight_ct: float, diameter_at_1_ct_mm: float, species: str = "diamond") -> float:
    """
    Diameter of a round stone, mm, by a cube-root law.

    Formula: diameter at 1 ct x (weight x 3.52 / density) to the power 1/3.

    Args:
        weight_ct: Weight, ct, from 0.001 to 1000.
        diameter_at_1_ct_mm: Diameter of a diamond of 1 ct, mm, from 5 to 8.
        species: Name of the species.

    Returns:
        The diameter, mm: 6.50 at 1 ct is the published gauge, 6.42 the median of real stones.

    Raises:
        BadInput: the species is not known.
        OutOfRange: the weight or the diameter is out of range.

    Source:
        hole-gauge, plotnine-diamonds

    >>> diameter_by_law(weight_ct=2.0, diameter_at_1_ct_mm=6.50)
    8.19
    """
    in_range(field="weight_ct", value=weight_ct, low=0.001, high=1000.0)
    in_range(field="diameter_at_1_ct_mm", value=diameter_at_1_ct_mm, low=5.0, high=8.0)
    density = species_named(species=species).density_g_cm3
    volume = weight_ct * FACTOR_DENSITY_G_CM3 / density
    return float(diameter_at_1_ct_mm * volume ** (1 / 3))


def size_from_weight(
    *, cut: str, weight_ct: float, species: str = "diamond", length_to_width: float | None = None
) -> SizeEstimate:
    """
    Expected length and width of a stone, mm, from its weight.

    Assumes an ordinary make: rounds follow the median of real stones, other cuts the depth
    that a published size chart implies at 1 ct (for trilliants and baguettes: common practice).

    Args:
        cut: One of our twelve words.
        weight_ct: Weight, ct, from 0.001 to 1000.
        species: Name of the species.
        length_to_width: Length divided by width, from 0.5 to 5; None takes the chart's own.

    Returns:
        Length and width, mm; 95 of 100 real rounds lie inside the range, other cuts are good to 5 % or 9 %.

    Raises:
        BadInput: the cut or species is not known, or a round is given a length to width other than 1.
        OutOfRange: the weight or the ratio is out of range.

    Source:
        plotnine-diamonds, hole-gauge, size-chart, practice

    >>> size = size_from_weight(cut="round", weight_ct=1.0)
    >>> size.length_mm, size.laws["published-gauge"]
    (6.42, 6.5)
    """
    in_range(field="weight_ct", value=weight_ct, low=0.001, high=1000.0)
    if length_to_width is not None:
        in_range(field="length_to_width", value=length_to_width, low=0.5, high=5.0)
    shape, stone = cut_named(cut=cut), species_named(species=species)
    volume = weight_ct * FACTOR_DENSITY_G_CM3 / stone.density_g_cm3
    if shape.key == "round":
        return _round_size(volume, length_to_width, stone.sources)
    ratio, depth_share, charted = _make(shape)
    if length_to_width is not None:
        ratio = length_to_width if not shape.symmetric_turn else max(length_to_width, 1 / length_to_width)
    factor = factor_at(cut=shape.key, length_to_width=ratio)
    width_mm = float((volume / (factor * _form(shape, ratio) * depth_share)) ** (1 / 3))
    length_mm = ratio * width_mm
    band = _BAND_CHART if charted else _BAND_PRACTICE
    name = "published-chart" if charted else "practice-depth"
    told = "a published size chart implies" if charted else "common practice gives"
    return SizeEstimate(
        length_mm=length_mm,
        width_mm=width_mm,
        low_mm=length_mm * (1 - band),
        high_mm=length_mm * (1 + band),
        depth_mm=width_mm * depth_share,
        laws={name: length_mm},
        why=(
            f"A depth of {100 * depth_share:.0f} % of the width is assumed, as {told}; "
            f"a deeper stone of this weight is smaller. Taken as good to {100 * band:.0f} % either way.",
        ),
        sources=(*shape.factors[0].sources, "size-chart" if charted else "practice", *stone.sources),
    )


def _round_size(volume: float, length_to_width: float | None, sources: tuple[str, ...]) -> SizeEstimate:
    if length_to_width is not None and abs(length_to_width - 1) > 0.03:
        raise BadInput("of a round stone is 1: leave it empty, or choose oval", field="length_to_width")
    root = float(volume ** (1 / 3))
    real, gauge = REAL_MM_AT_1_CT * root, GAUGE_MM_AT_1_CT * root
    return SizeEstimate(
        length_mm=real,
        width_mm=real,
        low_mm=REAL_LOW_MM_AT_1_CT * root,
        high_mm=REAL_HIGH_MM_AT_1_CT * root,
        # The plain factor and the median diameter together fix the depth: 1 / (0.0061 x 6.42 cubed).
        depth_mm=volume / (factor_at(cut="round", length_to_width=1.0) * real * real),
        laws={"real-stones": real, "published-gauge": gauge},
        why=(
            "Real stones are 1 to 2 % smaller than the trade's gauge, which describes a shallow stone; "
            "95 of 100 rounds of the open diamonds set lie inside the range.",
        ),
        sources=("plotnine-diamonds", "hole-gauge", *sources),
    )


def _make(shape: Cut) -> tuple[float, float, bool]:
    """Length to width, depth as a share of the width, and whether a chart says so."""
    if shape.chart_length_mm is None or shape.chart_width_mm is None:
        return shape.typical_length_to_width, shape.typical_depth_pct / 100, False
    ratio = shape.chart_length_mm / shape.chart_width_mm
    factor = factor_at(cut=shape.key, length_to_width=ratio)
    return ratio, 1 / (factor * _form(shape, ratio) * shape.chart_width_mm**3), True


def _form(shape: Cut, ratio: float) -> float:
    """The measures of a stone of width 1 and depth 1."""
    return ((ratio + 1) / 2) ** 2 if shape.form == "mean-squared" else ratio
