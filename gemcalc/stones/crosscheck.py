"""A report held against the scale."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import in_range
from gemcalc.stones.report import depth_percent
from gemcalc.stones.weight import WeightEstimate, weight_from_measures


@dataclass(frozen=True, kw_only=True, slots=True)
class ReportCheck:
    """
    A report held against the scale.

    Args:
        estimate: The weight that the report's measures give.
        difference_pct: Weighed minus estimated, % of the weighed.
        agrees: True when the weighed stone lies inside the estimate's range and nothing contradicts itself.
        findings: What does not fit, one sentence each.
    """

    estimate: WeightEstimate
    difference_pct: float
    agrees: bool
    findings: tuple[str, ...]


def check_report(
    *,
    cut: str,
    length_mm: float,
    width_mm: float,
    depth_mm: float,
    weighed_ct: float,
    species: str = "diamond",
    girdle: str = "medium",
    depth_pct: float | None = None,
    table_pct: float | None = None,
) -> ReportCheck:
    """
    Hold the measures of a report against the weight on the scale.

    Args:
        cut: One of our twelve words.
        length_mm: Length or greatest diameter as reported, mm, from 0.3 to 100.
        width_mm: Width or least diameter as reported, mm, from 0.3 to 100.
        depth_mm: Depth as reported, mm, from 0.1 to 100.
        weighed_ct: Weight on the scale, ct, from 0.001 to 1000.
        species: Name of the species.
        girdle: Word for the girdle, or two joined by `-to-`.
        depth_pct: Depth in % as reported, from 10 to 120, or None.
        table_pct: Table in % as reported, from 30 to 95, or None.

    Returns:
        Estimate, difference and findings. It cannot tell one stone from another of the same measures.

    Raises:
        BadInput: the cut, species or girdle is not known.
        OutOfRange: a figure is out of range.

    Source:
        gcal-table, plotnine-diamonds, lab-repeatability

    >>> check_report(cut="round", length_mm=6.51, width_mm=6.48, depth_mm=3.96, weighed_ct=1.014).agrees
    True
    """
    in_range(field="weighed_ct", value=weighed_ct, low=0.001, high=1000.0)
    estimate = weight_from_measures(
        cut=cut,
        length_mm=length_mm,
        width_mm=width_mm,
        depth_mm=depth_mm,
        species=species,
        girdle=girdle,
        table_pct=table_pct,
    )
    findings = list(estimate.warnings)
    difference_pct = 100 * (weighed_ct - estimate.weight_ct) / weighed_ct
    if not estimate.low_ct <= weighed_ct <= estimate.high_ct:
        side = "heavier" if difference_pct > 0 else "lighter"
        findings.append(
            f"The scale shows {weighed_ct:.3f} ct, {abs(difference_pct):.0f} % {side} than these measures "
            f"give ({estimate.low_ct:.2f} to {estimate.high_ct:.2f} ct): "
            "measure again before anything is cut for it."
        )
    if depth_pct is not None:
        in_range(field="depth_pct", value=depth_pct, low=10.0, high=120.0)
        across_mm = (length_mm + width_mm) / 2 if cut == "round" else min(length_mm, width_mm)
        found_pct = depth_percent(depth_mm=depth_mm, across_mm=across_mm)
        if abs(found_pct - depth_pct) > 1.0:
            findings.append(
                f"The depth of {depth_mm:g} mm is {found_pct:.1f} %, but the report says {depth_pct:g} %: "
                "one of them has a slip in its digits."
            )
    return ReportCheck(
        estimate=estimate, difference_pct=difference_pct, agrees=not findings, findings=tuple(findings)
    )
