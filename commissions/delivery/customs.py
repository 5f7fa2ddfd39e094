"""The sheet for customs, and what the law says of marks: information with its caution, never advice."""

from __future__ import annotations

from dataclasses import dataclass

from babel import Locale
from django.conf import settings

from commissions.bench import queries as bench
from commissions.bench.evidence import alloy_of
from commissions.bench.models import WeighingKind
from commissions.money import queries as money
from commissions.record.models import Commission
from commissions.sourcing import queries as sourcing
from gemcalc.alloys import find
from gemcalc.hallmark import CONVENTION_STATES, HallmarkNeed, hallmark_need

RING_CODES = {
    "Ag": ("7113.11", "jewellery of silver"),
    "Au": ("7113.19", "jewellery of other precious metal"),
    "Pt": ("7113.19", "jewellery of other precious metal"),
    "Pd": ("7113.19", "jewellery of other precious metal"),
}
"""Headings of the Harmonized System, seen in the EU and US tariff listings; six digits are common to all."""
LOOSE_CODES = {
    ("diamond", "natural"): ("7102.39", "diamonds, worked, not mounted"),
    ("diamond", "laboratory-grown"): ("7104.91", "synthetic diamonds, worked (HS 2022)"),
    ("ruby", "natural"): ("7103.91", "rubies, sapphires and emeralds, worked"),
    ("sapphire", "natural"): ("7103.91", "rubies, sapphires and emeralds, worked"),
    ("emerald", "natural"): ("7103.91", "rubies, sapphires and emeralds, worked"),
}
CAUTION = (
    "The first six digits are the same everywhere; each country adds its own, and rates, reliefs, "
    "licences and rules of origin differ. The sender answers for what is declared: let your customs agent or "
    "the customs office confirm code, origin and value before the parcel leaves."
)


def loose_code(*, species: str, origin: str) -> tuple[str, str] | None:
    """
    The heading of a stone that travels by itself; None where the origin does not tell.

    >>> loose_code(species="diamond", origin="laboratory-grown")[0]
    '7104.91'
    >>> loose_code(species="spinel", origin="natural")[0]
    '7103.99'
    """
    known = LOOSE_CODES.get((species.lower(), origin))
    if known:
        return known
    if origin == "natural":
        return ("7103.99", "other precious and semi-precious stones, worked")
    if origin == "laboratory-grown":
        return ("7104.99", "other synthetic stones, worked")
    return None


def sheet_of(*, commission: Commission) -> dict:
    """What the papers for customs need to say, from what is known here: plain values, so that they can be kept."""
    made = commission.ring or commission
    name = alloy_of(commission=made)
    metal = find(name=name).metal if name else ""
    stone = sourcing.chosen(commission=made)
    weighing = bench.latest_weight(commission=commission, kind=WeighingKind.RING)
    sums = money.agreed_sums(commission=commission)
    code = loose_code(species=stone.species, origin=stone.origin) if stone else None
    return {
        "code": list(RING_CODES.get(metal, ())),
        "alloy": name,
        "ring_mg": weighing.net_mg if weighing else None,
        "stone_code": list(code or ()),
        "clients_own": bool(stone and stone.owner == "client"),
        "returned": bool(commission.ring_id),
        "net": sums["net"],
        "currency": commission.currency,
        "caution": CAUTION,
        "marks": [[need.country, need.words] for need in mark_needs(commission=commission)],
    }


@dataclass(frozen=True, kw_only=True)
class CountryNeed:
    """What is known of the need for a mark in one country."""

    country: str
    need: str
    words: str
    caution: str


def mark_needs(*, commission: Commission) -> list[CountryNeed]:
    """
    Whether the ring needs a mark where it is made and where it goes; empty before it was weighed.

    The weight that counts is the metal's, without stones: the mount's, or for a small job that of its ring.
    """
    made = commission.ring or commission
    name = alloy_of(commission=made)
    mount = bench.latest_weight(commission=made, kind=WeighingKind.MOUNT)
    if not name or mount is None:
        return []
    rows = []
    for code in dict.fromkeys((settings.STUDIO_COUNTRY, commission.client.country)):
        known = Locale("en").territories.get(code, code)
        # A country whose rules are not kept is named in words, not by its code.
        asked = code if code in ("US", *CONVENTION_STATES) else known
        found: HallmarkNeed = hallmark_need(
            country=asked, metal=find(name=name).metal, metal_mass_g=mount.net_mg / 1000
        )
        rows.append(CountryNeed(country=known, need=found.need, words=found.words, caution=found.caution))
    return rows
