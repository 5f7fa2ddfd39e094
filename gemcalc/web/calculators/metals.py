"""From pattern to finished mount, and a band's metal."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.alloys import ALLOYS, find
from gemcalc.bands import band
from gemcalc.casting import BUTTON_PCT, FINISHING_LOSS_PCT, WAX_G_CM3, casting_chain, mass_from_volume
from gemcalc.drawing import Shank, section
from gemcalc.errors import BadInput
from gemcalc.profiles import PROFILES
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Headline, Table, drawn, leading, span
from gemcalc.web.calculators.alloys import ALLOY_CHOICES
from gemcalc.web.fields import FigureForm, choice, figure, usual
from gemcalc.web.page import Calculator
from gemcalc.web.typed import DENSITY, GRAMS, LENGTH, PERCENT


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
        carries={
            "profile": data["profile"],
            "shank_width_mm": usual(data["width"]),
            "shank_thickness_mm": usual(data["thickness"]),
            "shank_width_end_mm": usual(data["width_end"] or data["width"]),
            "shank_thickness_end_mm": usual(data["thickness_end"] or data["thickness"]),
        },
        sources=("pappus", "simpson", "exact-geometry", *alloy.sources),
    )  # fmt: skip


def _section(made: Mapping[str, Any]) -> list:
    try:
        scene = section(shank=Shank(**made), title=f"Section, {made['profile']}")
    except BadInput:
        return []  # thinner or wider than a shank is drawn; its figures stand all the same
    return [drawn(scene, "Sections to scale, mm; the finger lies below.")]


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
)  # fmt: skip
