"""An alloy by name or composition with its nickel gate, another metal for the same piece, and a gram's price."""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from gemcalc.alloys import ALLOYS, Alloy, find
from gemcalc.casting import substitute
from gemcalc.errors import BadInput
from gemcalc.fineness import mark_for
from gemcalc.mixture import ELEMENTS, mixture
from gemcalc.nickel import CAUTION as NICKEL_CAUTION
from gemcalc.nickel import nickel_gate
from gemcalc.troy import convert, price_per_gram
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Finding, Headline, Table, drawn, span
from gemcalc.web.fields import FigureForm, choice, figure, words
from gemcalc.web.page import Calculator
from gemcalc.web.typed import DENSITY, GRAMS, PPT, PRICE

ALLOY_CHOICES = [(name, name) for name in ALLOYS]
NICKEL_WORDS = {"none": "None stated", "contains": "Contains nickel", "unknown": "Not known from the name"}
ANSWERS = [("not sure", "Not sure"), ("yes", "Yes"), ("no", "No")]
_PART = re.compile(r"(?P<symbol>[A-Za-z]{1,2})\s*[:=]?\s*(?P<share>[0-9]{1,3}(?:[.,][0-9]{1,4})?)\s*%?")
_GAPS = re.compile(r"[\s,;+/]*")


def composition_typed(text: str) -> dict[str, float]:
    """
    Percents by mass as typed.

    Raises:
        BadInput: a part cannot be read, or names no element of the table.

    >>> composition_typed("Au 75, Ag 12,5; cu 12.5 %")
    {'Au': 75.0, 'Ag': 12.5, 'Cu': 12.5}
    """
    shares: dict[str, float] = {}
    place = _GAPS.match(text).end()  # type: ignore[union-attr]
    while place < len(text):
        found = _PART.match(text, place)
        if found is None:
            raise BadInput(f"cannot be read at “{text[place : place + 12]}”: write Au 75, Ag 12.5, Cu 12.5",
                           field="composition")  # fmt: skip
        symbol = found["symbol"].capitalize()
        if symbol not in ELEMENTS:
            raise BadInput(
                f"{symbol} is not an element of this table: {', '.join(ELEMENTS)}", field="composition"
            )
        shares[symbol] = shares.get(symbol, 0.0) + float(found["share"].replace(",", "."))
        place = _GAPS.match(text, found.end()).end()  # type: ignore[union-attr]
    return shares


class AlloyForm(FigureForm):
    """Boxes for one alloy and the nickel gate."""

    alloy = choice("Alloy", ALLOY_CHOICES, initial="18ct yellow")
    composition = words(
        "or its composition in percent", required=False, help_text="From the sheet: Au 75, Ag 12.5, Cu 12.5"
    )
    allergy = choice("Does nickel trouble the wearer?", ANSWERS)
    only = {"composition": "whole"}
    names = {"composition_pct": "composition", "name": "alloy"}


def describe_alloy(data: Mapping[str, Any]) -> Answer:
    """Density, fineness and nickel status, and which alloys the gate lets through."""
    if data["composition"]:
        mixed = mixture(composition_pct=composition_typed(data["composition"]))
        alloy = _from_mixture(mixed, data["composition"])
    else:
        alloy = find(name=data["alloy"])
    verdict = nickel_gate(alloys=[alloy], answer=data["allergy"])[0]
    facts = [Fact(label="Nickel", value=NICKEL_WORDS[alloy.nickel])]
    if alloy.metal:
        mark = mark_for(metal=alloy.metal, fineness_ppt=alloy.fineness_ppt)
        facts.append(
            Fact(
                label="Fineness",
                value=f"{alloy.fineness_ppt:g} ‰ {ELEMENTS[alloy.metal].label}",
                note=f"highest mark of the usual series: {mark}" if mark else "below the lowest usual mark",
            )
        )
        uk = mark_for(metal=alloy.metal, fineness_ppt=alloy.fineness_ppt, marks="uk")
        facts.append(Fact(label="In the United Kingdom", value=f"{uk} ‰" if uk else "no legal mark"))  # fmt: skip
    parts = alloy.composition_pct or {}
    bars = [
        (ELEMENTS[symbol].label, share, f"{share:g} %", "metal")
        for symbol, share in sorted(parts.items(), key=lambda part: -part[1])
    ]
    others = nickel_gate(alloys=ALLOYS.values(), answer=data["allergy"])
    rows = [
        (one.alloy, "may be offered" if one.allowed else "not to be offered", one.words) for one in others
    ]
    return Answer(
        headlines=[Headline(label="Density", value=f"{alloy.density_g_cm3:.2f}", unit="g/cm³",
                            range=f"from {span(alloy.low_g_cm3, alloy.high_g_cm3, places=2)}")],
        findings=[Finding(verdict="good" if verdict.allowed else "stop", words=verdict.words)],
        facts=facts,
        drawings=[drawn(drawings.bars(bars, title=f"Composition of {alloy.name}"), "Shares by mass, one scale.")]
        if bars else [],
        tables=[Table(caption="The nickel gate for this answer", head=("Alloy", "Verdict", "Why"), rows=rows, words_to=3)],
        why=[alloy.note] if alloy.note else [],
        caution=NICKEL_CAUTION,
        carries={} if data["composition"] else {"metal": alloy.name},
        sources=(*alloy.sources, "reach-nickel", "iso-9202"),
    )  # fmt: skip


def _from_mixture(mixed, typed: str) -> Alloy:
    precious = [(mixed.fineness_ppt.get(symbol, 0.0), symbol) for symbol in ("Au", "Ag", "Pt", "Pd")]
    fineness, metal = max(precious)
    return Alloy(
        name="this composition",
        metal=metal if fineness > 0 else "",
        fineness_ppt=fineness,
        density_g_cm3=mixed.density_g_cm3,
        low_g_cm3=mixed.low_g_cm3,
        high_g_cm3=mixed.high_g_cm3,
        nickel=mixed.nickel,
        composition_pct=composition_typed(typed),
        sources=mixed.sources,
        note="Worked out by the rule of mixtures: real palladium white golds run 2.5 to 5 % lighter.",
    )


class Substitution(FigureForm):
    """Boxes for the same piece in another metal."""

    mass = figure(GRAMS, "The piece weighs")
    alloy = choice("It is made of", [("wax", "Wax or resin pattern, 1.00"), *ALLOY_CHOICES], initial="Ag925")
    density = figure(
        DENSITY, "or of density", required=False, help_text="From the sheet; it goes before the name."
    )
    to = choice("It would be made of", ALLOY_CHOICES, initial="18ct white Pd")
    names = {"mass_g": "mass", "density_g_cm3": "density"}


def in_another_metal(data: Mapping[str, Any]) -> Answer:
    """The same piece in another metal, and in all of them."""
    density = data["density"] or (1.0 if data["alloy"] == "wax" else find(name=data["alloy"]).density_g_cm3)
    goal = find(name=data["to"])
    mass, low, high = (
        substitute(mass_g=data["mass"], density_g_cm3=density, to_density_g_cm3=to)
        for to in (goal.density_g_cm3, goal.low_g_cm3, goal.high_g_cm3)
    )
    rows = [
        (alloy.name, f"{alloy.density_g_cm3:.2f}",
         f"{substitute(mass_g=data['mass'], density_g_cm3=density, to_density_g_cm3=alloy.density_g_cm3):.2f}")
        for alloy in ALLOYS.values()
    ]  # fmt: skip
    now = "the pattern" if data["alloy"] == "wax" and not data["density"] else f"{density:g} g/cm³"
    bars = [
        (f"Now, {now}", data["mass"], f"{data['mass']:.2f} g", "hole"),
        (goal.name, mass, f"{mass:.2f} g", "metal"),
    ]
    return Answer(
        headlines=[Headline(label=f"In {goal.name}", value=f"{mass:.2f}", unit="g",
                            range=f"from {span(low, high, places=2, unit='g')}")],
        drawings=[drawn(drawings.bars(bars, title="The same piece in two metals"), "The volume stays, the mass changes.")],
        facts=[Fact(label="Volume", value=f"{1000 * data['mass'] / density:.1f} mm³"),
               Fact(label="Times", value=f"{goal.density_g_cm3 / density:.3f}")],
        tables=[Table(caption="In every alloy", head=("Alloy", "g/cm³", "g"), rows=rows)],
        why=["Mass × wanted density ÷ density now: the form fills the same space."],
        sources=("stuller-sg", "au-enterprises", *goal.sources),
    )  # fmt: skip


class Price(FigureForm):
    """Boxes for a gram's price."""

    price = figure(
        PRICE, "Price of a troy ounce, fine", exact=True, help_text="In your own currency: 2431.50"
    )
    alloy = choice("Alloy", [("", "By fineness alone"), *ALLOY_CHOICES])
    fineness = figure(PPT, "Fineness", exact=True, initial="1000", required=False)
    mass = figure(GRAMS, "Mass", exact=True, required=False, help_text="Empty for one gram alone.")
    names = {"price_per_troy_ounce": "price", "fineness_ppt": "fineness"}


def gram_price(data: Mapping[str, Any]) -> Answer:
    """A gram's price from a troy ounce's."""
    alloy = find(name=data["alloy"]) if data["alloy"] else None
    fineness = (
        Decimal(str(alloy.fineness_ppt))
        if alloy
        else (Decimal(1000) if data["fineness"] is None else data["fineness"])
    )
    gram = price_per_gram(price_per_troy_ounce=data["price"], fineness_ppt=fineness)
    facts = [
        Fact(label="A gram of fine metal", value=_money(price_per_gram(price_per_troy_ounce=data["price"]))),
        Fact(label="A pennyweight of this alloy", value=_money(gram * convert(mass=1, unit="dwt", to="g"))),
        Fact(label="Troy ounce", value="31.1034768 g", note="exact"),
    ]
    headlines = [Headline(label="A gram", value=_money(gram), range=f"at {fineness.normalize():f} ‰")]
    if data["mass"] is not None:
        headlines.append(Headline(label=f"{data['mass'].normalize():f} g", value=_money(gram * data["mass"])))
    density = alloy.density_g_cm3 if alloy else None
    drawing = []
    if density:
        cubes = [
            ("1 g", 1000 / density),
            ("1 dwt", 1555.17384 / density),
            ("1 troy oz", 31103.4768 / density),
        ]
        drawing = [
            drawn(
                drawings.cubes(cubes, title=f"{alloy.name}, as cubes"),
                f"{alloy.name} as cubes, mm; one scale.",
            )
        ]
    return Answer(
        headlines=headlines,
        facts=facts,
        drawings=drawing,
        why=["Price ÷ 31.1034768 × fineness ÷ 1000, in exact decimals; shown to the cent."],
        caution="The value of the fine metal only: no alloying metal, making, dealer's margin or tax. "
                "Round once, where the money is written down.",
        sources=("troy-grain",),
    )  # fmt: skip


def _money(amount: Decimal) -> str:
    return f"{amount.quantize(Decimal('0.01'), rounding=ROUND_HALF_EVEN):,}".replace(",", "\u202f")


CALCULATORS = (
    Calculator(
        name="alloy", title="Alloy and nickel",
        does="Density, fineness and nickel of an alloy, and which alloys may be offered to whom.",
        form=AlloyForm, answer=describe_alloy, example={"alloy": "18ct white Ni", "allergy": "not sure"},
    ),
    Calculator(
        name="substitution", title="The same piece in another metal",
        does="What a piece or a pattern would weigh in any other alloy.",
        form=Substitution, answer=in_another_metal, example={"mass": "4.00", "alloy": "Ag925", "to": "14ct yellow"},
    ),
    Calculator(
        name="price", title="A gram's price from a troy ounce's",
        does="What the fine metal in an alloy is worth by the gram.",
        form=Price, answer=gram_price, example={"price": "2431.50", "alloy": "18ct yellow", "mass": "4.31"},
    ),
)  # fmt: skip
