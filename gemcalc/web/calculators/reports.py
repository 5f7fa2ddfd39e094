"""A report against the scale, and how a weight is written."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.errors import BadInput
from gemcalc.stones import (
    carat_display,
    check_report,
    depth_percent,
    fraction_statement,
    grams_from_carats,
    may_state,
    points_statement,
    size_from_weight,
    spread_percent,
    trade_grains,
    troy_grains_from_carats,
)
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Finding, Headline, drawn, span
from gemcalc.web.calculators.stones import Measures, across, halo_act, stone_given
from gemcalc.web.fields import FigureForm, figure
from gemcalc.web.fields import words as words_box
from gemcalc.web.page import Calculator
from gemcalc.web.typed import CARATS, PERCENT


class Report(Measures):
    """Boxes for a report against the scale."""

    weighed = figure(CARATS, "On the scale")
    depth_pct = figure(PERCENT, "Depth, as the report says", required=False)
    groups = (
        ("The report", ("cut", "species", "length", "width", "depth", "girdle", "table", "depth_pct")),
        ("The scale", ("weighed",)),
    )


def check(data: Mapping[str, Any]) -> Answer:
    """A report against the scale."""
    given = stone_given(data)
    found = check_report(**given, weighed_ct=data["weighed"], depth_pct=data["depth_pct"])
    estimate, length, width = found.estimate, given["length_mm"], given["width_mm"]
    facts = [
        Fact(label="These measures give", value=f"{estimate.weight_ct:.3f} ct",
             note=span(estimate.low_ct, estimate.high_ct, places=2, unit="ct")),
        Fact(label="Scale against estimate", value=f"{found.difference_pct:+.1f} %"),
        Fact(label="Depth", value=f"{depth_percent(depth_mm=given['depth_mm'], across_mm=across(given)):.1f} %"),
        Fact(label="Length to width", value=f"{length / width:.2f} to 1"),
    ]  # fmt: skip
    if given["cut"] == "round":
        spread = spread_percent(
            diameter_mm=(length + width) / 2, weight_ct=data["weighed"], species=given["species"]
        )
        facts.append(
            Fact(label="Spread", value=f"{spread['real-stones']:+.1f} % of diameter",
                 note=f"against real stones; against the gauge {spread['published-gauge']:+.1f} %")
        )  # fmt: skip
    findings = [Finding(verdict="stop", words=words) for words in found.findings]
    if found.agrees:
        findings = [
            Finding(
                verdict="good", words="Report and scale fit each other, within what such measures can tell."
            )
        ]
    return Answer(
        headlines=[Headline(label="On the scale", value=f"{data['weighed']:.3f}", unit="ct",
                            range=f"expected {span(estimate.low_ct, estimate.high_ct, places=2, unit='ct')}")],
        findings=findings,
        facts=facts,
        drawings=[drawn(drawings.stone(given["cut"], length, width, depth_mm=given["depth_mm"],
                                       table_pct=data["table"]), "The stone as reported, mm. The bar is 10 mm.")],
        why=list(estimate.why),
        caution="It cannot tell one stone from another of the same measures, nor natural from grown: "
                "that is for a laboratory.",
        acts=halo_act(given["cut"], length, width),
        sources=(*estimate.sources, "lab-repeatability"),
    )  # fmt: skip


class Carat(FigureForm):
    """Boxes for how a weight is written."""

    weight = figure(CARATS, "On the scale", exact=True, help_text="With three decimals: 0.479")
    stated = figure(CARATS, "Would you print", exact=True, required=False, help_text="For example 0.5")
    fraction = words_box("As a fraction", required=False, max_length=20, help_text="For example 1/2")
    low = figure(CARATS, "Sold under this fraction from", exact=True, required=False)
    high = figure(CARATS, "to", exact=True, required=False)
    groups = (("", ("weight", "stated")), ("A fraction", ("fraction", "low", "high")))
    names = {"weight_ct": "weight", "low_ct": "low", "high_ct": "high"}


def write_carat(data: Mapping[str, Any]) -> Answer:
    """How a weight may be written."""
    typed = f"{data['weight']:f}"
    shown = carat_display(weight_ct=typed)
    carats = float(data["weight"])
    facts = [
        Fact(label="With points", value=points_statement(weight_ct=typed),
             note="points stand only beside the decimal weight"),
        Fact(label="Grams", value=f"{grams_from_carats(weight_ct=carats):.4f} g"),
        Fact(label="Grains of the trade", value=f"{trade_grains(weight_ct=typed):f}",
             note="quarters of a carat; not the troy grain"),
        Fact(label="Troy grains", value=f"{troy_grains_from_carats(weight_ct=carats):.3f}"),
    ]  # fmt: skip
    findings = []
    if data["stated"] is not None:
        stated = f"{data['stated']:f}"
        if may_state(stated=stated, weight_ct=typed):
            findings.append(
                Finding(verdict="good", words=f"{stated} ct is accurate to its last place for this stone.")
            )
        else:
            words = f"{stated} ct is not accurate to its last place for {typed} ct: print {shown} ct instead."
            findings.append(Finding(verdict="stop", words=words))
    if data["fraction"]:
        if data["low"] is None or data["high"] is None:
            raise BadInput("is needed: a fraction stands with the range of weights sold under it",
                           field="low" if data["low"] is None else "high")  # fmt: skip
        low, high = f"{data['low']:f}", f"{data['high']:f}"
        facts.append(
            Fact(
                label="As a fraction",
                value=fraction_statement(fraction=data["fraction"], low_ct=low, high_ct=high),
            )
        )
        if not data["low"] <= data["weight"] <= data["high"]:
            findings.append(
                Finding(verdict="stop", words=f"{typed} ct does not lie within {low} to {high} ct.")
            )
    return Answer(
        headlines=[Headline(label="Shown as", value=shown, unit="ct", range=f"from {typed} ct on the scale")],
        findings=findings,
        facts=facts,
        drawings=[drawn(drawings.stone("round", *(2 * [_usual_mm(carats)])),
                        "A round diamond of this weight, as real stones go. The bar is 10 mm.")]
        if 0.001 <= carats <= 100 else [],
        why=["The second decimal goes up only where the third is a 9; sums are made from the unrounded weights."],
        caution="A caution on wording, not advice on the law where you sell.",
        sources=("gia-rounding", "agl-rounding", "ftc-23-18", "cgpm-1907", "troy-grain"),
    )  # fmt: skip


def _usual_mm(carats: float) -> float:
    return round(size_from_weight(cut="round", weight_ct=carats).length_mm, 3)


CALCULATORS = (
    Calculator(
        name="report", title="A report against the scale",
        does="Whether the measures on a report and the weight on your scale fit each other.",
        form=Report, answer=check,
        example={"length": "6.51", "width": "6.48", "depth": "3.96", "weighed": "1.014", "depth_pct": "61"},
    ),
    Calculator(
        name="carat", title="How a weight is written",
        does="Carats, points, grains and fractions as they may stand on a paper.",
        form=Carat, answer=write_carat, example={"weight": "0.479", "stated": "0.5"},
    ),
)  # fmt: skip
