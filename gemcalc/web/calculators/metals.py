"""From pattern to finished mount, a band's metal, the metal account, and the need for a hallmark."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.account import reconcile
from gemcalc.alloys import ALLOYS, PRECIOUS, find
from gemcalc.bands import band
from gemcalc.casting import BUTTON_PCT, FINISHING_LOSS_PCT, WAX_G_CM3, casting_chain, mass_from_volume
from gemcalc.drawing import Shank, section
from gemcalc.errors import BadInput
from gemcalc.hallmark import UK_EXEMPT_BELOW_MG, hallmark_need
from gemcalc.mixture import ELEMENTS
from gemcalc.profiles import PROFILES
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Finding, Headline, Table, drawn, leading, span
from gemcalc.web.calculators.alloys import ALLOY_CHOICES
from gemcalc.web.fields import FigureForm, choice, figure, usual
from gemcalc.web.page import Calculator
from gemcalc.web.typed import DENSITY, GRAMS, LENGTH, PERCENT

COUNTRIES = [
    ("GB", "United Kingdom"), ("US", "United States"), ("EU", "European Union as a whole"),
    ("convention", "Hallmarking Convention's mark"), ("other", "Another country"),
]  # fmt: skip


class Casting(FigureForm):
    """Boxes for the chain from pattern to finished mount."""

    pattern = figure(GRAMS, "The pattern weighs")
    wax = figure(
        DENSITY,
        "Pattern's density",
        initial=usual(WAX_G_CM3),
        required=False,
        help_text="Wax 0.95 to 1.00, printing resin 1.1 to 1.2.",
    )
    alloy = choice("Alloy", ALLOY_CHOICES, initial="18ct yellow")
    density = figure(DENSITY, "or its density", required=False, help_text="From the supplier's sheet.")
    shrinkage = figure(PERCENT, "Shrinkage, linear", initial="0", required=False)
    button = figure(PERCENT, "Button and sprue", initial=usual(BUTTON_PCT), required=False)
    loss = figure(PERCENT, "Filed and polished away", initial=usual(FINISHING_LOSS_PCT), required=False)
    groups = (
        ("The pattern", ("pattern", "wax")),
        ("The metal", ("alloy", "density")),
        ("What is allowed for", ("shrinkage", "button", "loss")),
    )
    names = {
        "pattern_mass_g": "pattern", "pattern_density_g_cm3": "wax", "metal_density_g_cm3": "density",
        "shrinkage_linear_pct": "shrinkage", "button_pct": "button", "finishing_loss_pct": "loss",
    }  # fmt: skip


def _or(value: float | None, other: float) -> float:
    return other if value is None else value


def chain(data: Mapping[str, Any]) -> Answer:
    """From pattern to finished mount."""
    alloy = find(name=data["alloy"])
    allowed = {
        "pattern_mass_g": data["pattern"],
        "pattern_density_g_cm3": _or(data["wax"], WAX_G_CM3),
        "shrinkage_linear_pct": _or(data["shrinkage"], 0.0),
        "button_pct": _or(data["button"], BUTTON_PCT),
        "finishing_loss_pct": _or(data["loss"], FINISHING_LOSS_PCT),
    }
    density = _or(data["density"], alloy.density_g_cm3)
    found = casting_chain(metal_density_g_cm3=density, **allowed)
    ends = [density * 0.99, density * 1.01] if data["density"] else [alloy.low_g_cm3, alloy.high_g_cm3]
    low, high = (casting_chain(metal_density_g_cm3=one, **allowed) for one in ends)
    kinds = {"pattern": "hole", "finished mount": "gap-right"}
    rows = [(link.name.capitalize(), link.mass_g, f"{link.mass_g:.2f} g", kinds.get(link.name, "metal"))
            for link in found.links]  # fmt: skip
    return Answer(
        headlines=[Headline(label="Metal to melt", value=f"{found.pour_mass_g:.2f}", unit="g",
                            range=f"from {span(low.pour_mass_g, high.pour_mass_g, places=2, unit='g')}"),
                   Headline(label="Finished mount", value=f"{found.finished_mass_g:.2f}", unit="g",
                            range=f"from {span(low.finished_mass_g, high.finished_mass_g, places=2, unit='g')}")],
        drawings=[drawn(drawings.bars(rows, title="From pattern to mount"), "Masses at one scale.")],
        tables=[Table(caption="The chain", head=("Link", "Allowed for", "g"),
                      rows=[(link.name.capitalize(), link.allowance, f"{link.mass_g:.3f}") for link in found.links],
                      words_to=2)],
        why=["The range is that of the alloy's density alone; your own button and losses vary more than that. "
             "Wax taken as 1.00 forecasts 2 to 5 % high, which is the safe side for the melt."],
        caution="Never melt short: weigh the pattern with its sprue where you can, and follow your caster's own figures.",
        sources=[*dict.fromkeys(link.source for link in found.links), *alloy.sources],
    )  # fmt: skip


class Band(FigureForm):
    """Boxes for a band."""

    profile = choice(
        "Profile",
        [(row.name, f"{row.name.capitalize()}: {row.words}") for row in PROFILES.values()],
        initial="court",
    )
    inside = figure(LENGTH, "Inside diameter", initial="17.32")
    width = figure(LENGTH, "Width at the top")
    thickness = figure(LENGTH, "Thickness at the top")
    width_end = figure(LENGTH, "Width at the back", required=False, help_text="Empty for no taper.")
    thickness_end = figure(LENGTH, "Thickness at the back", required=False)
    alloy = choice("Alloy", ALLOY_CHOICES, initial="18ct yellow")
    density = figure(DENSITY, "or its density", required=False)
    groups = (
        ("The band", ("profile", "inside", "width", "thickness", "width_end", "thickness_end")),
        ("The metal", ("alloy", "density")),
    )
    names = {"inside_diameter_mm": "inside", "width_mm": "width", "thickness_mm": "thickness",
             "width_end_mm": "width_end", "thickness_end_mm": "thickness_end", "volume_mm3": "width",
             "density_g_cm3": "density"}  # fmt: skip


def weigh_band(data: Mapping[str, Any]) -> Answer:
    """A band's volume and mass."""
    made = {"profile": data["profile"], "width_mm": data["width"], "thickness_mm": data["thickness"],
            "width_end_mm": data["width_end"], "thickness_end_mm": data["thickness_end"],
            "inside_diameter_mm": data["inside"]}  # fmt: skip
    found, alloy = band(**made), find(name=data["alloy"])
    density = _or(data["density"], alloy.density_g_cm3)
    ends = (density, density) if data["density"] else (alloy.low_g_cm3, alloy.high_g_cm3)
    mass, low, high = (
        mass_from_volume(volume_mm3=found.volume_mm3, density_g_cm3=one) for one in (density, *ends)
    )
    rows = [(one.name, f"{one.density_g_cm3:.2f}",
             f"{mass_from_volume(volume_mm3=found.volume_mm3, density_g_cm3=one.density_g_cm3):.2f}")
            for one in ALLOYS.values()]  # fmt: skip
    facts = [Fact(label="Volume", value=f"{found.volume_mm3:.2f} mm³"),
             Fact(label="Section at the top", value=f"{found.area_mm2:.3f} mm²")]  # fmt: skip
    if found.centroid_radius_mm is None:
        facts.append(Fact(label="Section at the back", value=f"{found.area_end_mm2:.3f} mm²"))
    else:
        facts.append(Fact(label="Centroid from the axis", value=f"{found.centroid_radius_mm:.3f} mm"))
    return Answer(
        headlines=[Headline(label=f"In {alloy.name}" if not data["density"] else "Mass", value=f"{mass:.2f}", unit="g",
                            range=f"from {span(low, high, places=2, unit='g')}" if low != high else "")],
        drawings=_section(made),
        facts=facts,
        tables=[Table(caption="In every alloy", head=("Alloy", "g/cm³", "g"), rows=rows)],
        why=["Volume by Pappus: the section's area times the way its centroid goes round; "
             "where the band tapers, by Simpson's rule, which is exact for it."],
        caution="The finished band without stones, head or joints: the casting is heavier by what is filed away.",
        acts=[leading("Settings and makeability", "makeability", band_width=usual(data["width_end"] or data["width"]),
                      band_thickness=usual(data["thickness_end"] or data["thickness"]))],
        sources=("pappus", "simpson", "exact-geometry", *alloy.sources),
    )  # fmt: skip


def _section(made: Mapping[str, Any]) -> list:
    try:
        scene = section(shank=Shank(**made), title=f"Section, {made['profile']}")
    except BadInput:
        return []  # thinner or wider than a shank is drawn; its figures stand all the same
    return [drawn(scene, "Sections to scale, mm; the finger lies below.")]


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
        name="casting", title="From pattern to finished mount",
        does="What to melt for a pattern, and what is left of it when the mount is finished.",
        form=Casting, answer=chain, example={"pattern": "0.42", "alloy": "18ct white Pd"},
    ),
    Calculator(
        name="band", title="A band's metal",
        does="Volume and mass of a band, plain or tapered, with its section drawn.",
        form=Band, answer=weigh_band,
        example={"profile": "court", "inside": "17.32", "width": "2.4", "thickness": "1.8", "width_end": "2",
                 "thickness_end": "1.6"},
    ),
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
