"""The metal account of a job, and the need for a hallmark."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.account import reconcile
from gemcalc.alloys import PRECIOUS
from gemcalc.errors import BadInput
from gemcalc.hallmark import UK_EXEMPT_BELOW_MG, hallmark_need
from gemcalc.mixture import ELEMENTS
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Finding, Headline, drawn
from gemcalc.web.fields import FigureForm, choice, figure
from gemcalc.web.page import Calculator
from gemcalc.web.typed import GRAMS

COUNTRIES = [
    ("GB", "United Kingdom"), ("US", "United States"), ("EU", "European Union as a whole"),
    ("convention", "Hallmarking Convention's mark"), ("other", "Another country"),
]  # fmt: skip


class Account(FigureForm):
    """Boxes for the metal account of one job."""

    issued = figure(GRAMS, "Issued", exact=True)
    returned = figure(GRAMS, "Returned clean", exact=True, help_text="Sprue, button, offcuts.")
    mount = figure(GRAMS, "Finished mount, without stones", exact=True)
    filings = figure(GRAMS, "Lemel and filings", exact=True)
    names = {
        "issued_mg": "issued",
        "clean_returns_mg": "returned",
        "mount_mg": "mount",
        "filings_mg": "filings",
    }


def account(data: Mapping[str, Any]) -> Answer:
    """What went out, came back, and is missing."""
    weighed = {}
    for key, name in Account.names.items():
        milligrams = data[name] * 1000
        if milligrams != milligrams.to_integral_value():
            raise BadInput("must be a whole number of milligrams", field=key)
        weighed[key] = int(milligrams)
    found = reconcile(**weighed)
    rows = [
        ("Issued", found.issued_mg, f"{found.issued_mg / 1000:.3f} g", "hole"),
        ("Returned clean", found.clean_returns_mg, f"{found.clean_returns_mg / 1000:.3f} g", "metal"),
        ("Finished mount", found.mount_mg, f"{found.mount_mg / 1000:.3f} g", "gap-right"),
        ("Lemel and filings", found.filings_mg, f"{found.filings_mg / 1000:.3f} g", "metal"),
        ("Not accounted for", max(found.loss_mg, 0), f"{found.loss_mg / 1000:.3f} g", "gap-close"),
    ]

    def share(value: float | None) -> str:
        return "no metal there" if value is None else f"{value:.1f} %"

    return Answer(
        headlines=[Headline(label="Not accounted for", value=f"{found.loss_mg / 1000:.3f}", unit="g")],
        findings=[Finding(verdict="stop" if found.loss_mg < 0 else "good", words=found.words)],
        drawings=[drawn(drawings.bars(rows, title="Metal account"), "Masses at one scale.")],
        facts=[Fact(label="Of the metal issued", value=share(found.loss_of_issued_pct)),
               Fact(label="Of the metal worked", value=share(found.loss_of_worked_pct),
                    note=f"{found.worked_mg / 1000:.3f} g worked"),
               Fact(label="Of the finished mount", value=share(found.loss_of_mount_pct))],
        why=["Issued − (returned clean + mount + filings). A percentage without its base says nothing: "
             "the three above differ for one and the same loss."],
        caution="One alloy at a time, on one scale, clean and dry, without stones.",
        sources=("practice",),
    )  # fmt: skip


class Hallmark(FigureForm):
    """Boxes for the need of a hallmark."""

    country = choice("Sold in", COUNTRIES)
    metal = choice("Metal", [(symbol, ELEMENTS[symbol].label.capitalize()) for symbol in PRECIOUS])
    mass = figure(GRAMS, "Metal in the piece", help_text="Without stones.")
    mixed = choice("More than one metal?", [("no", "No"), ("yes", "Yes")])
    names = {"metal_mass_g": "mass"}


NEEDS = {"required": "Hallmark required", "exempt": "Exempt by weight", "not compulsory": "Not compulsory",
         "not known": "Not known here"}  # fmt: skip


def hallmark(data: Mapping[str, Any]) -> Answer:
    """Whether a hallmark is needed."""
    country = "" if data["country"] == "other" else data["country"]
    found = hallmark_need(country=country, metal=data["metal"], metal_mass_g=data["mass"],
                          mixed_metals=data["mixed"] == "yes")  # fmt: skip
    verdict = {"exempt": "good", "required": "stop"}.get(found.need, "look")
    drawing = []
    if country == "GB":
        limit = UK_EXEMPT_BELOW_MG[data["metal"]] / 1000
        rows = [
            ("This piece", data["mass"], f"{data['mass']:g} g", "metal"),
            ("Exempt below", limit, f"{limit:g} g", "hole"),
        ]
        drawing = [drawn(drawings.bars(rows, title="Against the exemption weight"), "Masses at one scale.")]
    return Answer(
        headlines=[Headline(label="Hallmark", value=NEEDS[found.need])],
        findings=[Finding(verdict=verdict, words=found.words)],
        drawings=drawing,
        caution=found.caution,
        sources=found.sources,
    )


CALCULATORS = (
    Calculator(
        name="account", title="Metal account of a job",
        does="What went out, what came back, and what is missing, with the base of every percentage.",
        form=Account, answer=account,
        example={"issued": "9.80", "returned": "4.62", "mount": "4.31", "filings": "0.71"},
    ),
    Calculator(
        name="hallmark", title="Does it need a hallmark?",
        does="By weight and country, where that is known, and whom to ask.",
        form=Hallmark, answer=hallmark, example={"country": "GB", "metal": "Au", "mass": "4.31"},
    ),
)  # fmt: skip
