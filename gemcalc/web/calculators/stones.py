"""Weight from millimetres, millimetres from weight, a report against the scale, and how a weight is written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.stones import (
    CUTS,
    GIRDLES,
    SPECIES,
    carat_display,
    depth_percent,
    size_from_weight,
    weight_from_measures,
)
from gemcalc.web import drawings
from gemcalc.web.answer import Act, Answer, Fact, Finding, Headline, drawn, leading, span
from gemcalc.web.fields import FigureForm, choice, figure, usual
from gemcalc.web.page import Calculator
from gemcalc.web.typed import CARATS, LENGTH, PERCENT, PLAIN

CUT_CHOICES = [(cut.key, cut.key.capitalize()) for cut in CUTS]
SPECIES_CHOICES = [(row.key, row.name) for row in SPECIES]
GIRDLE_CHOICES = [(row.key, row.key.replace("-", " ").capitalize()) for row in GIRDLES]
HALO_CUTS = ("round", "oval", "pear", "marquise", "princess", "heart")
"""Cuts whose halo outline follows from length and width alone."""


class Measures(FigureForm):
    cut = choice("Cut", CUT_CHOICES, initial="round")
    length = figure(LENGTH, "Length", help_text="Of a round, its greatest diameter.")
    width = figure(LENGTH, "Width", required=False, help_text="Empty means the same as the length.")
    depth = figure(LENGTH, "Depth")
    species = choice("Stone", SPECIES_CHOICES, initial="diamond")
    girdle = choice("Girdle", GIRDLE_CHOICES, initial="medium")
    table = figure(PERCENT, "Table", required=False, help_text="As the report says, or empty.")

    names = {
        "length_mm": "length", "width_mm": "width", "depth_mm": "depth", "table_pct": "table",
        "weighed_ct": "weighed", "depth_pct": "depth_pct",
    }  # fmt: skip


def stone_given(data: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "cut": data["cut"],
        "length_mm": data["length"],
        "width_mm": data["length"] if data["width"] is None else data["width"],
        "depth_mm": data["depth"],
        "species": data["species"],
        "girdle": data["girdle"],
        "table_pct": data["table"],
    }


def halo_act(cut: str, length_mm: float, width_mm: float) -> list[Act]:
    """The way on to a halo round this stone."""
    if cut not in HALO_CUTS:
        return []
    if cut == "round" and abs(length_mm - width_mm) < 1e-9:
        return [leading("Fit a halo round it", "halo", cut="round", diameter=usual(length_mm))]
    cut = "oval" if cut == "round" else cut
    return [leading("Fit a halo round it", "halo", cut=cut, length=usual(length_mm), width=usual(width_mm))]


def across(data: Mapping[str, Any]) -> float:
    return (data["length_mm"] + data["width_mm"]) / 2 if data["cut"] == "round" else data["width_mm"]


def weigh(data: Mapping[str, Any]) -> Answer:
    """Weight from measures."""
    given = stone_given(data)
    found = weight_from_measures(**given)
    length, width, depth = given["length_mm"], given["width_mm"], given["depth_mm"]
    facts = [
        Fact(label="Shown as", value=f"{carat_display(weight_ct=f'{found.weight_ct:.6f}')} ct",
             note="two decimals, up only on a third-decimal 9"),
        Fact(label="Depth", value=f"{depth_percent(depth_mm=depth, across_mm=across(given)):.1f} %"),
        Fact(label="Length to width", value=f"{length / width:.2f} to 1"),
        Fact(label="Factor", value=f"{found.factor:.5f} ct/mm³", note="for diamond with a medium girdle"),
    ]  # fmt: skip
    if found.girdle_multiplier != 1:
        facts.append(Fact(label="Girdle", value=f"× {found.girdle_multiplier:.3f}"))
    if found.density_ratio != 1:
        facts.append(Fact(label="Density against diamond", value=f"× {found.density_ratio:.3f}"))
    if found.fitted_ct is not None:
        facts.append(Fact(label="By the printed factor alone", value=f"{found.plain_ct:.3f} ct"))
    return Answer(
        headlines=[Headline(label="Estimated weight", value=f"{found.weight_ct:.3f}", unit="ct",
                            range=f"from {span(found.low_ct, found.high_ct, places=2, unit='ct')}")],
        findings=[Finding(verdict="look", words=words) for words in found.warnings],
        facts=facts,
        drawings=[drawn(drawings.stone(given["cut"], length, width, depth_mm=depth, table_pct=data["table"]),
                        "The stone from above and from the side, mm. The bar is 10 mm.")],
        why=list(found.why),
        caution="An estimate: what a stone weighs is known from the scale, unmounted.",
        acts=[leading("Hold it against the scale", "report", cut=given["cut"], length=usual(length),
                      width=usual(width), depth=usual(depth), species=given["species"], girdle=given["girdle"]),
              *halo_act(given["cut"], length, width)],
        sources=found.sources,
    )  # fmt: skip


class Size(FigureForm):
    """Boxes for millimetres from weight."""

    cut = choice("Cut", CUT_CHOICES, initial="round")
    weight = figure(CARATS, "Weight", help_text="In carats, or with a unit: 50 pt, 0.2 g.")
    species = choice("Stone", SPECIES_CHOICES, initial="diamond")
    ratio = figure(
        PLAIN, "Length to width", required=False, help_text="Empty takes the usual one of the cut."
    )
    names = {"weight_ct": "weight", "length_to_width": "ratio"}


LAWS = {
    "real-stones": "By the median of real stones",
    "published-gauge": "By the published gauge",
    "published-chart": "By the published chart",
    "practice-depth": "By the depth of common practice",
}


def measure(data: Mapping[str, Any]) -> Answer:
    """Millimetres from weight."""
    cut = data["cut"]
    found = size_from_weight(
        cut=cut, weight_ct=data["weight"], species=data["species"], length_to_width=data["ratio"]
    )
    round_one = cut == "round"
    value = f"{found.length_mm:.2f}" if round_one else f"{found.length_mm:.2f} × {found.width_mm:.2f}"
    share = found.width_mm / found.length_mm
    outlines = [
        drawings.outline_of(cut, size, size * share)
        for size in (found.length_mm, found.low_mm, found.high_mm)
    ]
    title = f"{value} mm, dashed its least and greatest"
    return Answer(
        headlines=[Headline(label="Expected diameter" if round_one else "Expected length × width", value=value,
                            unit="mm",
                            range=f"{'diameter' if round_one else 'length'} from "
                                  f"{span(found.low_mm, found.high_mm, places=2, unit='mm')}")],
        drawings=[drawn(drawings.within(outlines[0], outlines[1], outlines[2], title=title),
                        "The expected girdle; dashed, the least and greatest it may be. The bar is 10 mm.")],
        facts=[*(Fact(label=LAWS.get(name, name), value=f"{mm:.2f} mm") for name, mm in found.laws.items()),
               Fact(label="Depth assumed", value=f"{found.depth_mm:.2f} mm")],
        why=list(found.why),
        acts=halo_act(cut, round(found.length_mm, 2), round(found.width_mm, 2)),
        caution="Order the mount from the stone's own millimetres, never from its weight.",
        sources=found.sources,
    )  # fmt: skip


CALCULATORS = (
    Calculator(
        name="weight", title="Weight from millimetres",
        does="What a stone weighs by its length, width and depth, with the range it may lie in.",
        form=Measures, answer=weigh,
        example={"length": "6.51", "width": "6.48", "depth": "3.96", "table": "57"},
    ),
    Calculator(
        name="size", title="Millimetres from weight",
        does="How large a stone of a given weight is likely to be.",
        form=Size, answer=measure, example={"cut": "oval", "weight": "1.5"},
    ),
)  # fmt: skip
