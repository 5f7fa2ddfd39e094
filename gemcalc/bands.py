"""Volumes of bands, plain and tapered, and of what sits on them."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gemcalc.errors import in_range
from gemcalc.profiles import shape_of


@dataclass(frozen=True, kw_only=True)
class Band:
    """
    Volume of a band.

    Args:
        volume_mm3: Volume, mm3.
        area_mm2: Area of the section at the top, mm2.
        area_end_mm2: Area of the section at the back, mm2.
        centroid_radius_mm: Distance of the section's centroid from the axis, mm; None for a tapered band.
    """

    volume_mm3: float
    area_mm2: float
    area_end_mm2: float
    centroid_radius_mm: float | None


def band(
    *,
    profile: str,
    width_mm: float,
    thickness_mm: float,
    inside_diameter_mm: float,
    width_end_mm: float | None = None,
    thickness_end_mm: float | None = None,
) -> Band:
    """
    Volume of a band in mm3.

    Even band: Pappus, V = 2 pi * centroid radius * area.
    Tapered: width and thickness vary linearly with the angle from the top to the back, both sides alike;
    V = 2 * integral from 0 to pi of area * centroid radius.
    Area and centroid are a*w*t and r + c*t, so the integrand is a cubic of the angle: Simpson's rule is exact.

    Args:
        profile: flat, half-round, court, comfort or knife-edge.
        width_mm: Width at the top, mm, from 0.05 to 100.
        thickness_mm: Thickness at the top, mm, from 0.05 to 100.
        inside_diameter_mm: Inside diameter (at the innermost point of a rounded inside), mm, from 0.5 to 200.
        width_end_mm: Width at the back, mm, from 0.05 to 100; None for the same as at the top.
        thickness_end_mm: Thickness at the back, mm, from 0.05 to 100; None for the same as at the top.

    Returns:
        A :class:`Band`; exact.

    Raises:
        BadInput: there is no such profile.
        OutOfRange: a number is outside its range.

    Source:
        pappus, simpson, exact-geometry

    >>> band(profile="flat", width_mm=4, thickness_mm=1.8, inside_diameter_mm=17.32).volume_mm3
    432.484
    """
    shape = shape_of(profile=profile)
    width_end = width_mm if width_end_mm is None else width_end_mm
    thickness_end = thickness_mm if thickness_end_mm is None else thickness_end_mm
    in_range(field="width_mm", value=width_mm, low=0.05, high=100)
    in_range(field="thickness_mm", value=thickness_mm, low=0.05, high=100)
    in_range(field="inside_diameter_mm", value=inside_diameter_mm, low=0.5, high=200)
    in_range(field="width_end_mm", value=width_end, low=0.05, high=100)
    in_range(field="thickness_end_mm", value=thickness_end, low=0.05, high=100)

    def area(share: float) -> float:
        width = width_mm + share * (width_end - width_mm)
        thickness = thickness_mm + share * (thickness_end - thickness_mm)
        return shape.area_factor * width * thickness

    def radius(share: float) -> float:
        thickness = thickness_mm + share * (thickness_end - thickness_mm)
        return inside_diameter_mm / 2 + shape.centroid_factor * thickness

    ends = area(0) * radius(0) + area(1) * radius(1)
    volume = 2 * math.pi * (ends + 4 * area(0.5) * radius(0.5)) / 6
    even = width_end == width_mm and thickness_end == thickness_mm
    return Band(
        volume_mm3=volume,
        area_mm2=area(0),
        area_end_mm2=area(1),
        centroid_radius_mm=radius(0) if even else None,
    )


@dataclass(frozen=True, kw_only=True)
class HeadAllowance:
    """
    Volume of a head, part by part.

    Args:
        claws_mm3: All claws as round wire, mm3.
        rails_mm3: All gallery rails as rings of round wire, mm3.
        volume_mm3: Both together, mm3.
    """

    claws_mm3: float
    rails_mm3: float
    volume_mm3: float


def head_allowance(
    *,
    claws: int,
    claw_diameter_mm: float,
    claw_length_mm: float,
    rail_diameters_mm: tuple[float, ...] = (),
    rail_wire_mm: float = 0.8,
) -> HeadAllowance:
    """
    Volume in mm3 to allow for a head of round claws on gallery rails, where there is no model yet.

    Joints are counted twice, which is on the safe side by a few percent of the head.
    Formula: claws * pi/4 * d^2 * length + sum over rails of pi * D * pi/4 * wire^2 (Pappus).

    Args:
        claws: Number of claws, from 0 to 24.
        claw_diameter_mm: Diameter of the claw wire, mm, from 0.2 to 5.
        claw_length_mm: Length of a claw from base to tip, mm, from 0 to 30.
        rail_diameters_mm: Diameter of each rail along the middle of its wire, mm, from 0.5 to 50 each.
        rail_wire_mm: Diameter of the rails' wire, mm, from 0.2 to 5.

    Returns:
        A :class:`HeadAllowance`: an allowance, good to about 15 %; weigh or model the real head.

    Raises:
        OutOfRange: a number is outside its range.

    Source:
        pappus, practice

    >>> head_allowance(claws=4, claw_diameter_mm=1, claw_length_mm=5).volume_mm3
    15.71
    """
    in_range(field="claws", value=claws, low=0, high=24)
    in_range(field="claw_diameter_mm", value=claw_diameter_mm, low=0.2, high=5)
    in_range(field="claw_length_mm", value=claw_length_mm, low=0, high=30)
    in_range(field="rail_wire_mm", value=rail_wire_mm, low=0.2, high=5)
    rails = 0.0
    for diameter in rail_diameters_mm:
        in_range(field="rail_diameters_mm", value=diameter, low=0.5, high=50)
        rails += math.pi * diameter * math.pi / 4 * rail_wire_mm**2
    claw_volume = claws * math.pi / 4 * claw_diameter_mm**2 * claw_length_mm
    return HeadAllowance(claws_mm3=claw_volume, rails_mm3=rails, volume_mm3=claw_volume + rails)


def halo_tray_allowance(
    *, line_length_mm: float, strip_width_mm: float, thickness_mm: float, cut_share: float = 0.35
) -> float:
    """
    Volume in mm3 to allow for the tray under a row of bead-set stones.

    Formula: length along the row * width * thickness * (1 - share drilled and cut away).

    Args:
        line_length_mm: Length along the middle of the row, mm, from 1 to 300.
        strip_width_mm: Width of the strip, mm, from 0.5 to 20.
        thickness_mm: Thickness of the strip, mm, from 0.3 to 10.
        cut_share: Share drilled and cut away for stones and light, from 0 to 0.8.

    Returns:
        Volume, mm3; an allowance, good to about 20 %.

    Raises:
        OutOfRange: a number is outside its range.

    Source:
        practice

    >>> halo_tray_allowance(line_length_mm=25.4, strip_width_mm=2.3, thickness_mm=1.5)
    56.96
    """
    in_range(field="line_length_mm", value=line_length_mm, low=1, high=300)
    in_range(field="strip_width_mm", value=strip_width_mm, low=0.5, high=20)
    in_range(field="thickness_mm", value=thickness_mm, low=0.3, high=10)
    in_range(field="cut_share", value=cut_share, low=0, high=0.8)
    return line_length_mm * strip_width_mm * thickness_mm * (1 - cut_share)
