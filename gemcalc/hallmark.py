"""Whether an article needs a hallmark, by weight and country, where that is known here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from gemcalc.errors import BadInput, in_range

Need = Literal["required", "exempt", "not compulsory", "not known"]

UK_EXEMPT_BELOW_MG: dict[str, int] = {"Au": 1000, "Ag": 7780, "Pd": 1000, "Pt": 500}
"""
An article of *less* than this needs no hallmark in the United Kingdom, mg of metal without stones.

Source: hallmarking-act-1973, hallmarking-convention, anchorcert.
"""

CONVENTION_STATES: dict[str, str] = {
    "AT": "Austria", "CH": "Switzerland", "CY": "Cyprus", "CZ": "the Czech Republic", "DK": "Denmark",
    "FI": "Finland", "GB": "the United Kingdom", "HR": "Croatia", "HU": "Hungary", "IE": "Ireland",
    "IL": "Israel", "LT": "Lithuania", "LV": "Latvia", "NL": "the Netherlands", "NO": "Norway",
    "PL": "Poland", "PT": "Portugal", "SE": "Sweden", "SI": "Slovenia", "SK": "the Slovak Republic",
}  # fmt: skip
"""
Contracting States of the Hallmarking Convention when Croatia became the twentieth, on 19 March 2018.

States that joined later are not listed here, so a country that is missing says nothing.

Source: hallmarking-convention.
"""

CONVENTION_AS_OF = "19 March 2018"
"""Day on which CONVENTION_STATES was complete. Source: hallmarking-convention."""

CAUTION = (
    "Ask the assay office before you rely on this: exemptions have conditions, and the law may have changed."
)
"""Caution that goes with every answer."""


@dataclass(frozen=True, kw_only=True)
class HallmarkNeed:
    """
    What is known of the need for a hallmark.

    Args:
        need: ``required``, ``exempt`` (by weight), ``not compulsory`` in that country, or ``not known`` here.
        words: The answer in words.
        caution: Always: ask the assay office.
        sources: Keys of the sources.
    """

    need: Need
    words: str
    caution: str
    sources: tuple[str, ...]


_NAMES = {"Au": "gold", "Ag": "silver", "Pd": "palladium", "Pt": "platinum"}


def _united_kingdom(metal: str, metal_mass_g: float, mixed_metals: bool) -> HallmarkNeed:
    sources = ("hallmarking-act-1973", "hallmarking-convention", "anchorcert")
    if mixed_metals:
        words = "Articles of more than one metal have rules of their own."
        return HallmarkNeed(need="not known", words=words, caution=CAUTION, sources=sources)
    threshold_mg = UK_EXEMPT_BELOW_MG[metal]
    # Whole milligrams: the law speaks of a weight on a scale, and 0.9999999 g of float noise is 1 g there.
    mass_mg = round(metal_mass_g * 1000)
    limit = f"{threshold_mg / 1000:g} g"
    if mass_mg < threshold_mg:
        words = (
            f"{mass_mg / 1000:g} g of {_NAMES[metal]} is below {limit}: it may be described as "
            f"{_NAMES[metal]} without a hallmark. The weight is that of the metal only."
        )
        return HallmarkNeed(need="exempt", words=words, caution=CAUTION, sources=sources)
    words = (
        f"{mass_mg / 1000:g} g of {_NAMES[metal]} is not below {limit}: it must be hallmarked before it is "
        f"described as {_NAMES[metal]} in the United Kingdom. Articles made for export are exempt."
    )
    return HallmarkNeed(need="required", words=words, caution=CAUTION, sources=sources)


def hallmark_need(
    *, country: str, metal: str, metal_mass_g: float, mixed_metals: bool = False
) -> HallmarkNeed:
    """
    Whether an article of one precious metal needs a hallmark in a country.

    Args:
        country: Two-letter country code (GB, US, EU for the Union as a whole, …), or ``convention`` for the
            common control mark of the Hallmarking Convention.
        metal: Symbol of the metal: Au, Ag, Pt or Pd.
        metal_mass_g: Mass of the metal without stones, g, from 0 to 10000.
        mixed_metals: Whether more than one metal is in the article.

    Returns:
        A :class:`HallmarkNeed` in words, with its caution.

    Raises:
        BadInput: the metal is not known.
        OutOfRange: the mass is outside its range.

    Source:
        hallmarking-act-1973, hallmarking-convention, anchorcert, us-stamping

    >>> hallmark_need(country="GB", metal="Pt", metal_mass_g=0.49).need
    'exempt'
    """
    if metal not in _NAMES:
        raise BadInput(f"must be one of {', '.join(_NAMES)}", field="metal")
    in_range(field="metal_mass_g", value=metal_mass_g, low=0, high=10_000)
    code = country.strip().upper()
    if code in ("GB", "UK"):
        return _united_kingdom(metal, metal_mass_g, mixed_metals)
    need: Need
    sources: tuple[str, ...] = ("hallmarking-convention",)
    if code == "US":
        need, sources = "not compulsory", ("us-stamping",)
        words = (
            "No mark is compulsory. A fineness mark, where one is struck, must stand beside the maker's "
            "registered trademark or name, and the metal must hold to it within 3 ‰ (7 ‰ with solder)."
        )
    elif code == "CONVENTION":
        need = "not known"
        words = (
            "The common control mark is struck by the assay offices of member countries on request and knows "
            "no exemption weight; each member country's own law says whether a mark is compulsory there."
        )
    elif code == "EU":
        need = "not known"
        words = (
            "There is no single hallmark and no single exemption weight in the Union: each country differs."
        )
    elif code in CONVENTION_STATES:
        need = "not known"
        words = (
            f"{CONVENTION_STATES[code][0].upper()}{CONVENTION_STATES[code][1:]} is a state of the Hallmarking "
            f"Convention (list of {CONVENTION_AS_OF}): an article with the common control mark need not be marked "
            "there again. Whether a mark is compulsory, and from which weight, its own law says."
        )
    else:
        need, sources = "not known", ("practice",)
        words = f"The rules of {country.strip() or 'this country'} are not known here: they differ, so ask its assay office."
    return HallmarkNeed(need=need, words=words, caution=CAUTION, sources=sources)
