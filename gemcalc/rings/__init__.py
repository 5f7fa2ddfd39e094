"""Ring sizes: ISO 8653, US and Canada, UK, Ireland and Australia, Japan, Switzerland and Italy."""

from gemcalc.rings.conventions import (
    US_CONVENTIONS,
    uk_chart_circumference_mm,
    us_diameters_mm,
    us_spread_mm,
)
from gemcalc.rings.convert import (
    RingSize,
    resizing_note,
    ring_of_circumference,
    ring_of_diameter,
    ring_of_size,
)
from gemcalc.rings.labels import ch_label, iso_label, jp_label, uk_label, us_label
from gemcalc.rings.parsing import steps_typed
from gemcalc.rings.systems import SYSTEMS, circumference_mm, steps_of, system_named

__all__ = [
    "SYSTEMS",
    "US_CONVENTIONS",
    "RingSize",
    "ch_label",
    "circumference_mm",
    "iso_label",
    "jp_label",
    "resizing_note",
    "ring_of_circumference",
    "ring_of_diameter",
    "ring_of_size",
    "steps_of",
    "steps_typed",
    "system_named",
    "uk_chart_circumference_mm",
    "uk_label",
    "us_diameters_mm",
    "us_label",
    "us_spread_mm",
]
