"""One ring in every size system, with what should be said beside it."""

from __future__ import annotations

import math
from dataclasses import dataclass

from gemcalc.errors import in_range
from gemcalc.rings.conventions import CONVENTION_SPREAD_MM, WIDE_BAND_MM, us_spread_mm
from gemcalc.rings.labels import ch_label, iso_label, jp_label, uk_label, us_label
from gemcalc.rings.parsing import steps_typed
from gemcalc.rings.systems import circumference_mm as circumference_of
from gemcalc.rings.systems import steps_of, system_named

ISO_STICK = (41.0, 76.0)
"""The standard's ring stick runs over these circumferences, mm. Source: iso-8653, jis-s-4700."""

SHANK_CLEAR_SIZES = {"third": "1 to 2 sizes", "half": "half a size to one size"}
"""How far a stone-set ring may usually be resized, by how much of it carries stones. Source: practice."""


@dataclass(frozen=True, kw_only=True, slots=True)
class RingSize:
    """
    One ring's inside in every system.

    Args:
        circumference_mm: Inner circumference, mm.
        diameter_mm: Inside diameter, mm.
        iso: Designation of the nearest whole ISO size.
        us: US size, exact.
        uk_steps: Steps above UK A, exact.
        jp: Japanese size, exact.
        ch: Swiss size, exact.
        us_label: Nearest quarter of a US size.
        uk_label: Nearest half of a UK size.
        jp_label: Nearest Japanese size.
        ch_label: Nearest quarter of a Swiss size.
        notes: What should be said beside it, one sentence each.
        sources: Keys of the sources used.
    """

    circumference_mm: float
    diameter_mm: float
    iso: str
    us: float
    uk_steps: float
    jp: float
    ch: float
    us_label: str
    uk_label: str
    jp_label: str
    ch_label: str
    notes: tuple[str, ...]
    sources: tuple[str, ...]


def ring_of_circumference(*, circumference_mm: float, band_width_mm: float | None = None) -> RingSize:
    """
    A ring of inner circumference *circumference_mm* in every system.

    Args:
        circumference_mm: Inner circumference, mm, from 30 to 90.
        band_width_mm: Width of the finished band, mm, from 0.5 to 30, or None.

    Returns:
        The sizes: exact numbers (±0.03 mm of circumference) and the nearest as worn.

    Raises:
        OutOfRange: a measure is out of range.

    Source:
        iso-8653, wikipedia-ring-size, bs-6820, jcs-pages, rowlett

    >>> ring = ring_of_circumference(circumference_mm=54.42)
    >>> ring.us_label, ring.uk_label, ring.jp_label
    ('7', 'N½', '14')
    """
    us = steps_of(system="us", circumference_mm=circumference_mm)
    sources = [key for row in ("iso", "us", "uk", "jp", "ch") for key in system_named(system=row).sources]
    return RingSize(
        circumference_mm=circumference_mm,
        diameter_mm=circumference_mm / math.pi,
        iso=iso_label(circumference_mm=circumference_mm),
        us=us,
        uk_steps=steps_of(system="uk", circumference_mm=circumference_mm),
        jp=steps_of(system="jp", circumference_mm=circumference_mm),
        ch=steps_of(system="ch", circumference_mm=circumference_mm),
        us_label=us_label(circumference_mm=circumference_mm),
        uk_label=uk_label(circumference_mm=circumference_mm),
        jp_label=jp_label(circumference_mm=circumference_mm),
        ch_label=ch_label(circumference_mm=circumference_mm),
        notes=_notes(circumference_mm, us, band_width_mm),
        sources=tuple(dict.fromkeys(sources)),
    )


def ring_of_diameter(*, diameter_mm: float, band_width_mm: float | None = None) -> RingSize:
    """
    A ring of inside diameter *diameter_mm* in every system.

    Args:
        diameter_mm: Inside diameter, mm, from 30/pi to 90/pi (9.55 to 28.64).
        band_width_mm: Width of the finished band, mm, from 0.5 to 30, or None.

    Returns:
        The sizes, as :func:`ring_of_circumference` gives them.

    Raises:
        OutOfRange: a measure is out of range.

    Source:
        iso-8653, exact-geometry

    >>> ring_of_diameter(diameter_mm=19.0).jp
    19.0
    """
    in_range(field="diameter_mm", value=diameter_mm, low=9.55, high=28.64)
    return ring_of_circumference(circumference_mm=math.pi * diameter_mm, band_width_mm=band_width_mm)


def ring_of_size(*, system: str, size: str, band_width_mm: float | None = None) -> RingSize:
    """
    A ring of a size as a person types it, in every system.

    Args:
        system: One of `iso`, `us`, `uk`, `jp`, `ch`.
        size: The size as typed, such as `6 1/2`, `M½`, `52,5`.
        band_width_mm: Width of the finished band, mm, from 0.5 to 30, or None.

    Returns:
        The sizes, as :func:`ring_of_circumference` gives them.

    Raises:
        BadInput: there is no such system, or the size cannot be read.
        OutOfRange: the size lies outside 30 to 90 mm of circumference.

    Source:
        iso-8653, wikipedia-ring-size, bs-6820, jcs-pages, rowlett

    >>> ring_of_size(system="uk", size="M½").circumference_mm
    53.125
    """
    row = system_named(system=system)
    steps = steps_typed(system=row.system, size=size)
    return ring_of_circumference(
        circumference_mm=circumference_of(system=row.system, steps=steps), band_width_mm=band_width_mm
    )


def resizing_note(*, stones_over: str) -> str:
    """
    What may be said of resizing a ring later.

    Args:
        stones_over: How far stones go round: `none`, `third`, `half` or `full`.

    Returns:
        One sentence. Common practice, not a promise: the bench decides on the piece.

    Source:
        practice

    >>> resizing_note(stones_over="full")
    'Stones all round: a new size means a new ring.'
    """
    if stones_over == "full":
        return "Stones all round: a new size means a new ring."
    clear = SHANK_CLEAR_SIZES.get(stones_over)
    if clear is None:
        return "A plain shank can usually be resized by one to two sizes; the bench decides on the piece."
    return (
        f"Stones over a {stones_over}: usually {clear} either way, never by stretching; "
        "every halo and shoulder stone is tested again afterwards."
    )


def _notes(circumference_mm: float, us: float, band_width_mm: float | None) -> tuple[str, ...]:
    notes = [
        "Made to the circumference in mm; a size name alone is not exact.",
        f"Charts for one name differ by up to {CONVENTION_SPREAD_MM:g} mm of diameter either way.",
        "UK letters follow BS 6820; the popular chart hangs them on US sizes, "
        "up to 0.6 mm of circumference higher at the small end.",
        "Japanese sizes follow (38 + n) / 3 mm; printed charts fall behind it from US 9 up.",
    ]
    if 0 <= us <= 20:
        spread = us_spread_mm(steps=us)
        notes.append(f"This US size is printed with diameters that lie {spread:.2f} mm apart.")
    if not ISO_STICK[0] <= circumference_mm <= ISO_STICK[1]:
        notes.append("Outside the standard ring stick, 41 to 76 mm: measure with a gauge of its own.")
    if band_width_mm is not None:
        in_range(field="band_width_mm", value=band_width_mm, low=0.5, high=30.0)
        if band_width_mm >= WIDE_BAND_MM:
            notes.append(
                f"A band {band_width_mm:g} mm wide feels tighter: size with a gauge of that width; "
                "a quarter to half a size up is usual (common practice, no source)."
            )
    else:
        notes.append("Bands of 5 mm and wider feel tighter: size with a gauge as wide as the band.")
    return tuple(notes)
