"""Every calculator of the studio, in the order in which a person looks for them."""

from __future__ import annotations

from gemcalc.web.calculators import alloys, books, melee, metals, reports, rings, settings, stones, turn
from gemcalc.web.page import Calculator

GROUPS: tuple[tuple[str, tuple[Calculator, ...]], ...] = (
    ("Halo and stone", turn.CALCULATORS),
    ("Stones", (*stones.CALCULATORS, *reports.CALCULATORS, *melee.CALCULATORS)),
    ("Rings", rings.CALCULATORS),
    ("Metal", (*metals.CALCULATORS, *alloys.CALCULATORS, *books.CALCULATORS)),
    ("The setter's bench", settings.CALCULATORS),
)
"""Headings of the list of figures and the calculators under each."""

CALCULATORS: dict[str, Calculator] = {one.name: one for _, group in GROUPS for one in group}
"""The calculators by their name in the address."""
