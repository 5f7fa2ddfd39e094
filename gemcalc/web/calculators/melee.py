"""Melee: sieve, millimetres and carats, and a lot against the scale."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.errors import BadInput
from gemcalc.melee import (
    PLATES,
    check_lot,
    count_in_weight,
    melee_of_diameter,
    melee_of_sieve,
    weight_of_count_ct,
)
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Finding, Headline, Table, drawn, span
from gemcalc.web.fields import FigureForm, figure, words
from gemcalc.web.page import Calculator
from gemcalc.web.typed import CARATS, LENGTH, PLAIN


class Melee(FigureForm):
    """Boxes for one size of melee and, if wished, a lot of it."""

    diameter = figure(LENGTH, "Diameter", required=False)
    sieve = words("or sieve", required=False, max_length=40, help_text="Such as +6.5-7 or 6½–7")
    count = figure(PLAIN, "Stones counted", required=False, whole=True)
    weight = figure(CARATS, "On the scale", required=False)
    stated = figure(CARATS, "Paper says, each stone", required=False)
    groups = (("One stone", ("diameter", "sieve")), ("A lot of them", ("count", "weight", "stated")))
    names = {"diameter_mm": "diameter", "weight_ct": "weight", "stated_mean_ct": "stated"}


def _size(data: Mapping[str, Any]):
    if data["diameter"] is not None and data["sieve"]:
        raise BadInput("give the diameter or the sieve, not both", field="sieve")
    if data["sieve"]:
        return melee_of_sieve(sieve=data["sieve"])
    if data["diameter"] is None:
        raise BadInput("is needed, or a sieve", field="diameter")
    return melee_of_diameter(diameter_mm=data["diameter"])


def weigh_melee(data: Mapping[str, Any]) -> Answer:
    """One size of melee, and a lot of it held against the scale."""
    size = _size(data)
    plate = next(plate for plate in PLATES if plate.sieve == size.sieve)
    across = data["diameter"] if data["diameter"] is not None else plate.middle_mm
    headlines = [
        Headline(label="One stone", value=f"{size.weight_ct:.4f}", unit="ct",
                 range=f"from {span(size.low_ct, size.high_ct, places=4, unit='ct')}"),
        Headline(label="To the carat", value=f"{size.per_carat:.0f}", unit="stones"),
    ]  # fmt: skip
    findings, facts = _lot(data, across)
    return Answer(
        headlines=headlines,
        findings=findings,
        facts=[Fact(label="Sieve", value=size.sieve),
               Fact(label="Falls between", value=span(size.diameter_low_mm, size.diameter_high_mm, places=2, unit="mm")),
               *facts],
        drawings=[drawn(drawings.melee(across, size.diameter_low_mm, size.diameter_high_mm),
                        "The stone; dashed, the holes of the sieve that held it and the one it fell through.")],
        tables=[_neighbours(size.sieve)],
        why=list(size.why),
        caution="Count and weigh the lot before it is priced: the scale decides.",
        sources=size.sources,
    )  # fmt: skip


def _lot(data: Mapping[str, Any], across: float) -> tuple[list[Finding], list[Fact]]:
    count, weight = data["count"], data["weight"]
    if count is None and weight is None:
        if data["stated"] is not None:
            raise BadInput("is needed to hold the paper against", field="count")
        return [], []
    if count is None:
        guess, low, high = count_in_weight(weight_ct=weight, diameter_mm=across)
        return [], [Fact(label="Stones in that weight", value=f"{guess:.0f}", note=span(low, high, places=0))]
    if weight is None:
        guess, low, high = weight_of_count_ct(count=count, diameter_mm=across)
        return [], [
            Fact(label=f"{count} stones", value=f"{guess:.3f} ct", note=span(low, high, places=3, unit="ct"))
        ]
    lot = check_lot(count=count, weight_ct=weight, diameter_mm=across, stated_mean_ct=data["stated"])
    findings = [Finding(verdict="stop", words=words) for words in lot.findings]
    if lot.verdict == "agrees":
        findings = [Finding(verdict="good", words="Count, weight and size fit each other.")]
    return findings, [
        Fact(label="Mean of the lot", value=f"{lot.mean_ct:.4f} ct",
             note=f"expected {span(lot.low_ct, lot.high_ct, places=4, unit='ct')}"),
        Fact(label="The count should weigh", value=f"{lot.expected_lot_ct:.3f} ct"),
        Fact(label="The weight should hold", value=f"{lot.expected_count:.0f} stones"),
    ]  # fmt: skip


def _neighbours(sieve: str) -> Table:
    place = next(index for index, plate in enumerate(PLATES) if plate.sieve == sieve)
    near = PLATES[max(0, place - 2) : place + 3]
    rows = [
        (plate.sieve + (" · this one" if plate.sieve == sieve else ""), f"{plate.low_mm:.2f}", f"{plate.high_mm:.2f}",
         f"{plate.weight_ct:.4f}", f"{1 / plate.weight_ct:.0f}")
        for plate in near
    ]  # fmt: skip
    return Table(
        caption="Its neighbours", head=("Sieve", "from mm", "to mm", "ct each", "to the carat"), rows=rows
    )


CALCULATORS = (
    Calculator(
        name="melee", title="Melee by sieve, millimetre and carat",
        does="What small stones weigh, how many make a carat, and whether a lot is what its paper says.",
        form=Melee, answer=weigh_melee,
        example={"diameter": "1.3", "count": "120", "weight": "1.14", "stated": "0.095"},
    ),
)  # fmt: skip
