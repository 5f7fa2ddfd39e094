"""`ring-size` and `ring-of-stones` over JSON."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

from gemcalc.cli.reading import given, number, text
from gemcalc.errors import BadInput
from gemcalc.ring_of_stones import ring_of_stones as ring_of_equal_stones
from gemcalc.rings import RingSize, ring_of_circumference, ring_of_diameter, ring_of_size, system_named


def _ring(data: Mapping[str, Any]) -> RingSize:
    width = number(data, "band_width_mm", low=0.5, high=30, default=None)
    if given(data, "system") or given(data, "size"):
        system = system_named(system=text(data, "system")).system
        return ring_of_size(system=system, size=text(data, "size"), band_width_mm=width)
    if given(data, "circumference_mm"):
        around = number(data, "circumference_mm", low=30, high=90)
        return ring_of_circumference(circumference_mm=around, band_width_mm=width)
    if given(data, "diameter_mm"):
        across = number(data, "diameter_mm", low=9.55, high=28.64)
        return ring_of_diameter(diameter_mm=across, band_width_mm=width)
    raise BadInput("is needed with a size; or give circumference_mm, or diameter_mm", field="system")


def ring_size(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    One ring in every size system, as fixed for the command line.

    Args:
        data: `system` and `size`, or `circumference_mm`, or `diameter_mm`; optional `band_width_mm`.

    Returns:
        Millimetres, exact numbers, names as worn and notes.

    Raises:
        BadInput: a field is missing or cannot be used.
    """
    found = asdict(_ring(data))
    found["notes"], found["sources"] = list(found["notes"]), list(found["sources"])
    return found


def ring_of_stones(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    Equal stones round a round centre, as fixed for the command line.

    Args:
        data: `centre_diameter_mm`, `melee_diameter_mm`, `clearance_mm`, `gap_mm`.

    Returns:
        Count, gaps and outside diameter.

    Raises:
        BadInput: a field is missing or cannot be used, or fewer than three stones fit.
    """
    found = asdict(
        ring_of_equal_stones(
            centre_diameter_mm=number(data, "centre_diameter_mm", low=0.5, high=60),
            melee_diameter_mm=number(data, "melee_diameter_mm", low=0.3, high=60),
            clearance_mm=number(data, "clearance_mm", low=0, high=10),
            gap_mm=number(data, "gap_mm", low=0, high=10),
        )
    )
    found["sources"] = ["exact-geometry"]
    return found
