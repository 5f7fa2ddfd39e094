"""Every calculator of the studio, in the order in which a person looks for them."""

from __future__ import annotations

from gemcalc.web.calculators import alloys, melee, metals, rings, settings, stones
from gemcalc.web.page import Calculator

GROUPS: tuple[tuple[str, tuple[Calculator, ...]], ...] = (
    ("Stones", (*stones.CALCULATORS, *melee.CALCULATORS)),
    ("Rings", rings.CALCULATORS),
    ("Metal", (*metals.CALCULATORS, *alloys.CALCULATORS)),
    ("The setter's bench", settings.CALCULATORS),
)
"""Headings of the index page and the calculators under each."""

CALCULATORS: dict[str, Calculator] = {one.name: one for _, group in GROUPS for one in group}
"""The calculators by their name in the address."""
