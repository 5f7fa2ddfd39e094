"""`weight`, `size`, `carat` and `melee` over JSON."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.cli.reading import given, number, text
from gemcalc.errors import BadInput
from gemcalc.melee import melee_of_diameter, melee_of_sieve
from gemcalc.stones import (
    carat_display,
    cut_named,
    mean_diameter_mm,
    points,
    size_from_weight,
    weight_from_measures,
)


def _measures(data: Mapping[str, Any], cut: str) -> tuple[float, float]:
    """Length and width, however they were given, with errors that name the field that was used."""
    if given(data, "length_mm") or given(data, "width_mm"):
        return number(data, "length_mm", low=0.3, high=100), number(data, "width_mm", low=0.3, high=100)
    if given(data, "diameter_min_mm") or given(data, "diameter_max_mm"):
        least = number(data, "diameter_min_mm", low=0.3, high=100)
        greatest = number(data, "diameter_max_mm", low=0.3, high=100)
        mean_diameter_mm(diameter_min_mm=least, diameter_max_mm=greatest)
        return greatest, least
    if cut != "round" and not given(data, "diameter_mm"):
        raise BadInput("is needed", field="length_mm")
    diameter = number(data, "diameter_mm", low=0.3, high=100)
    return diameter, diameter


def weight(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    Estimated weight of a stone, as fixed for the command line.

    Args:
        data: `cut`, the measures in mm, `species`, `girdle`, `table_pct`.

    Returns:
        `weight_ct`, its range, factor, display and reasons.

    Raises:
        BadInput: a field is missing or cannot be used.
    """
    cut = cut_named(cut=text(data, "cut")).key
    length_mm, width_mm = _measures(data, cut)
    estimate = weight_from_measures(
        cut=cut,
        length_mm=length_mm,
        width_mm=width_mm,
        depth_mm=number(data, "depth_mm", low=0.1, high=100),
        species=text(data, "species", default="diamond"),
        girdle=text(data, "girdle", default="medium"),
        table_pct=number(data, "table_pct", low=30, high=95, default=None),
    )
    return {
        "weight_ct": estimate.weight_ct,
        "low_ct": estimate.low_ct,
        "high_ct": estimate.high_ct,
        "factor": estimate.factor,
        "display": carat_display(weight_ct=f"{estimate.weight_ct:.6f}"),
        "plain_ct": estimate.plain_ct,
        "fitted_ct": estimate.fitted_ct,
        "girdle_multiplier": estimate.girdle_multiplier,
        "density_ratio": estimate.density_ratio,
        "why": list(estimate.why),
        "warnings": list(estimate.warnings),
        "sources": list(estimate.sources),
    }


def size(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    Expected millimetres of a stone, as fixed for the command line.

    Args:
        data: `cut`, `weight_ct`, `species`, `length_to_width`.

    Returns:
        Length, width, range and laws, mm.

    Raises:
        BadInput: a field is missing or cannot be used.
    """
    found = size_from_weight(
        cut=text(data, "cut"),
        weight_ct=number(data, "weight_ct", low=0.001, high=1000),
        species=text(data, "species", default="diamond"),
        length_to_width=number(data, "length_to_width", low=0.5, high=5, default=None),
    )
    return {
        "length_mm": found.length_mm,
        "width_mm": found.width_mm,
        "low_mm": found.low_mm,
        "high_mm": found.high_mm,
        "depth_mm": found.depth_mm,
        "laws": found.laws,
        "why": list(found.why),
        "sources": list(dict.fromkeys(found.sources)),
    }


def carat(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    How a weight is shown, as fixed for the command line.

    Args:
        data: `weight_ct` as read from the scale, in text.

    Returns:
        `display` and `points`.

    Raises:
        BadInput: the field is missing or cannot be used.
    """
    typed = text(data, "weight_ct")
    return {
        "display": carat_display(weight_ct=typed),
        "points": points(weight_ct=typed),
        "sources": ["gia-rounding", "agl-rounding"],
    }


def melee(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    One size of melee, as fixed for the command line.

    Args:
        data: `diameter_mm` or `sieve`.

    Returns:
        Row of plates, weight, range and stones to the carat.

    Raises:
        BadInput: neither field is given, or one cannot be used.
    """
    if given(data, "sieve"):
        found = melee_of_sieve(sieve=text(data, "sieve"))
    elif given(data, "diameter_mm"):
        found = melee_of_diameter(diameter_mm=number(data, "diameter_mm", low=0.7, high=4.5))
    else:
        raise BadInput("is needed, or a sieve", field="diameter_mm")
    return {
        "diameter_low_mm": found.diameter_low_mm,
        "diameter_high_mm": found.diameter_high_mm,
        "sieve": found.sieve,
        "weight_ct": found.weight_ct,
        "low_ct": found.low_ct,
        "high_ct": found.high_ct,
        "per_carat": found.per_carat,
        "why": list(found.why),
        "sources": list(found.sources),
    }
