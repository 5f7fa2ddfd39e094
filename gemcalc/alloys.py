"""Alloys as the bench knows them: fineness, working density with its range, nickel status, source."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from gemcalc.alloy_rows import ALIASES, ROWS
from gemcalc.errors import BadInput, in_range
from gemcalc.mixture import NickelStatus, mixture

PRECIOUS = ("Au", "Ag", "Pt", "Pd")
"""Symbols of the precious metals that hallmarking laws know."""

DENSITY_LOW_G_CM3 = 2.0
"""Lightest density that is accepted for a metal, g/cm3 (below it lie waxes and resins)."""

DENSITY_HIGH_G_CM3 = 22.6
"""Heaviest density that is accepted, g/cm3 (osmium, the densest element, is 22.6)."""


@dataclass(frozen=True, kw_only=True)
class Alloy:
    """
    One alloy with the figures the studio works with.

    Args:
        name: Name as it stands in lists and on papers.
        metal: Symbol of the precious metal it is sold as.
        fineness_ppt: Parts per thousand of that metal.
        density_g_cm3: Working density, g/cm3.
        low_g_cm3: Lowest density published or worked out, g/cm3.
        high_g_cm3: Highest, g/cm3.
        nickel: ``none``, ``contains``, or ``unknown`` where the name alone does not tell.
        composition_pct: Percent by mass of each element, where known.
        sources: Keys of the sources, or the supplier's sheet in words.
        note: What a user should know, in one sentence.
    """

    name: str
    metal: str
    fineness_ppt: float
    density_g_cm3: float
    low_g_cm3: float
    high_g_cm3: float
    nickel: NickelStatus
    composition_pct: Mapping[str, float] | None = None
    sources: tuple[str, ...] = ()
    note: str = ""


ALLOYS: dict[str, Alloy] = {
    row[0]: Alloy(
        name=row[0],
        metal=row[1],
        fineness_ppt=row[2],
        density_g_cm3=row[3],
        low_g_cm3=row[4],
        high_g_cm3=row[5],
        nickel=row[6],
        composition_pct=row[7],
        sources=row[8],
        note=row[9],
    )
    for row in ROWS
}
"""The alloys that come with the program, by name; a studio adds its own with :func:`from_sheet`."""


def _plain(name: str) -> str:
    """Spelling without case, blanks and signs; karat written as carat."""
    text = re.sub(r"[^a-z0-9]", "", name.lower())
    return re.sub(r"^(\d{1,2})(?:karat|carat|kt|ct|k|c)(?![a-z]*ct)", r"\1ct", text)


_BY_SPELLING: dict[str, str] = {_plain(name): name for name in ALLOYS} | {
    _plain(alias): name for alias, name in ALIASES.items()
}


def find(*, name: str, own: Iterable[Alloy] = ()) -> Alloy:
    """
    The alloy called *name*, however it is spelt.

    Args:
        name: Name or usual alias: "18ct yellow", "18 k yellow", "Pt950Ru", "sterling".
        own: The studio's own alloys, which come before the built-in ones.

    Returns:
        The :class:`Alloy`.

    Raises:
        BadInput: no alloy has this name.

    >>> find(name="18 K Yellow").name
    '18ct yellow'
    """
    wanted = _plain(name)
    for alloy in own:
        if _plain(alloy.name) == wanted:
            return alloy
    if wanted in _BY_SPELLING:
        return ALLOYS[_BY_SPELLING[wanted]]
    raise BadInput(f"no alloy is called {name!r}: known are {', '.join(ALLOYS)}", field="alloy")


def from_sheet(
    *,
    name: str,
    metal: str,
    fineness_ppt: float,
    sheet: str,
    density_g_cm3: float | None = None,
    nickel: NickelStatus | None = None,
    composition_pct: Mapping[str, float] | None = None,
) -> Alloy:
    """
    An alloy of the studio's own, from the supplier's sheet.

    Where the sheet gives no density it is worked out from the composition.
    A density more than 8 % away from what the composition gives is refused: one of the two is mistyped.

    Args:
        name: Name for lists and papers, not empty.
        metal: Symbol of the precious metal: Au, Ag, Pt or Pd.
        fineness_ppt: Parts per thousand of that metal, above 0 to 1000.
        sheet: Supplier, title and date of the sheet, not empty: it is the source.
        density_g_cm3: Density on the sheet, g/cm3, from 2 to 22.6; None where only a composition is known.
        nickel: What the sheet says of nickel; None reads it from the composition, ``unknown`` without one.
        composition_pct: Percent by mass of each element; None where the sheet does not tell.

    Returns:
        The :class:`Alloy`; its range is 1 % each way of a printed density, the mixture's own range otherwise.

    Raises:
        BadInput: a field is empty, or two fields contradict each other.
        OutOfRange: a number is outside its range.

    Source:
        rule-of-mixtures, practice

    >>> from_sheet(name="House white", metal="Au", fineness_ppt=750, sheet="Caster's sheet, March 2026",
    ...            density_g_cm3=15.9, nickel="none").high_g_cm3
    16.059
    """
    if not name.strip():
        raise BadInput("give the alloy a name", field="name")
    if not sheet.strip():
        raise BadInput("say which sheet these figures come from: supplier, title, date", field="sheet")
    if metal not in PRECIOUS:
        raise BadInput(f"must be one of {', '.join(PRECIOUS)}", field="metal")
    in_range(field="fineness_ppt", value=fineness_ppt, low=1, high=1000)
    sources: tuple[str, ...] = (sheet.strip(),)
    mixed = None
    if composition_pct:
        mixed = mixture(composition_pct=composition_pct)
        stated = mixed.fineness_ppt.get(metal, 0.0)
        if abs(stated - fineness_ppt) > 5:
            raise BadInput(
                f"the composition holds {stated:g} ‰ of {metal} and the fineness says {fineness_ppt:g} ‰",
                field="fineness_ppt",
            )
        if nickel == "none" and mixed.nickel == "contains":
            raise BadInput(
                "the composition holds nickel, so it cannot be entered as free of it", field="nickel"
            )
    if density_g_cm3 is not None:
        in_range(field="density_g_cm3", value=density_g_cm3, low=DENSITY_LOW_G_CM3, high=DENSITY_HIGH_G_CM3)
        if mixed and abs(density_g_cm3 / mixed.density_g_cm3 - 1) > 0.08:
            raise BadInput(
                f"the composition gives about {mixed.density_g_cm3:.2f} g/cm3: check both for a slip",
                field="density_g_cm3",
            )
        density, low, high = density_g_cm3, density_g_cm3 * 0.99, density_g_cm3 * 1.01
    elif mixed:
        density, low, high = mixed.density_g_cm3, mixed.low_g_cm3, mixed.high_g_cm3
        sources += mixed.sources
    else:
        raise BadInput(
            "give the density, or the composition from which to work it out", field="density_g_cm3"
        )
    return Alloy(
        name=name.strip(),
        metal=metal,
        fineness_ppt=fineness_ppt,
        density_g_cm3=density,
        low_g_cm3=low,
        high_g_cm3=high,
        nickel=nickel or (mixed.nickel if mixed else "unknown"),
        composition_pct=dict(composition_pct) if composition_pct else None,
        sources=sources,
    )
