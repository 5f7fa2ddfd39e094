"""Ring sizes in every system, and equal stones in a ring."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.drawing import TopOptions, top_view
from gemcalc.errors import BadInput
from gemcalc.ring_of_stones import gap_bead_diameters_mm, ring_of_stones
from gemcalc.rings import (
    US_CONVENTIONS,
    resizing_note,
    ring_of_circumference,
    ring_of_diameter,
    ring_of_size,
    uk_chart_circumference_mm,
)
from gemcalc.web import drawings
from gemcalc.web.answer import Answer, Fact, Finding, Headline, Table, drawn, leading
from gemcalc.web.fields import FigureForm, choice, figure, usual, words
from gemcalc.web.page import Calculator
from gemcalc.web.typed import LENGTH, figure_typed

WAYS = [
    ("iso", "ISO 8653, circumference in mm"),
    ("us", "US and Canada"),
    ("uk", "UK, Ireland, Australia"),
    ("jp", "Japan"),
    ("ch", "Switzerland, Italy"),
    ("circumference", "Inside circumference measured"),
    ("diameter", "Inside diameter measured"),
]
STONES_OVER = [
    ("none", "No stones in the shank"),
    ("third", "Over a third"),
    ("half", "Over a half"),
    ("full", "All round"),
]


class RingSize(FigureForm):
    """Boxes for a ring size."""

    system = choice("Given in", WAYS, initial="iso")
    size = words("Size", max_length=40, help_text="As it is written: 54, 6 1/2, M½, 52,5")
    width = figure(LENGTH, "Width of the band", required=False)
    stones_over = choice("Stones round the shank", STONES_OVER, initial="none")
    only = {"size": "whole"}
    names = {"band_width_mm": "width", "circumference_mm": "size", "diameter_mm": "size"}


def _ring(data: Mapping[str, Any]):
    if data["system"] not in ("circumference", "diameter"):
        return ring_of_size(system=data["system"], size=data["size"], band_width_mm=data["width"])
    try:
        across = float(figure_typed(data["size"], kind=LENGTH))
    except BadInput as error:
        raise BadInput(error.message, field="size") from None
    if data["system"] == "diameter":
        return ring_of_diameter(diameter_mm=across, band_width_mm=data["width"])
    return ring_of_circumference(circumference_mm=across, band_width_mm=data["width"])


def size_in_all(data: Mapping[str, Any]) -> Answer:
    """One ring in every system, and where charts disagree."""
    ring = _ring(data)
    rows = [
        ("ISO 8653", ring.iso, f"{ring.circumference_mm:.2f}"),
        ("US and Canada", ring.us_label, f"{ring.us:.3f}"),
        ("UK, Ireland, Australia", ring.uk_label, f"A + {ring.uk_steps:.3f}"),
        ("Japan", ring.jp_label, f"{ring.jp:.3f}"),
        ("Switzerland, Italy", ring.ch_label, f"{ring.ch:.3f}"),
    ]
    tables = [Table(caption="In every system", head=("System", "Nearest as worn", "Exact"), rows=rows)]
    apart = []
    if 0 <= ring.us <= 20:
        apart += [
            (f"US {ring.us:.2f} = {row.name}", f"{row.zero_mm + row.step_mm * ring.us:.2f} mm across",
             f"{row.zero_mm + row.step_mm * ring.us - ring.diameter_mm:+.2f} mm")
            for row in US_CONVENTIONS[1:]
        ]  # fmt: skip
    if 0 <= ring.uk_steps <= 24:
        chart = uk_chart_circumference_mm(steps=ring.uk_steps)
        apart.append(
            (f"UK {ring.uk_label} by the popular chart", f"{chart:.2f} mm round",
             f"{chart - ring.circumference_mm:+.2f} mm")
        )  # fmt: skip
    if apart:
        tables.append(
            Table(caption="Where charts disagree", head=("Convention", "It says", "Against ours"), rows=apart)
        )
    return Answer(
        headlines=[Headline(label="Inside circumference", value=f"{ring.circumference_mm:.2f}", unit="mm"),
                   Headline(label="Inside diameter", value=f"{ring.diameter_mm:.2f}", unit="mm")],
        drawings=[drawn(drawings.finger(ring.diameter_mm),
                        "The inside of the ring, to scale. Lay a ring on it only where the bar measures 10 mm.")],
        tables=tables,
        why=[*ring.notes, resizing_note(stones_over=data["stones_over"])],
        caution="Size the finger with a gauge as wide as the band, warm, at the end of the day: "
                "no conversion is better than the measure it starts from.",
        acts=[leading("Weigh a band of this size", "band", inside=f"{ring.diameter_mm:.2f}")],
        carries={"system": "iso", "size": usual(round(ring.circumference_mm, 2))},
        sources=ring.sources,
    )  # fmt: skip


class RingOfStones(FigureForm):
    """Boxes for equal stones in a ring."""

    centre = figure(LENGTH, "Centre stone")
    melee = figure(LENGTH, "Each halo stone")
    clearance = figure(
        LENGTH, "Clearance", initial="0.15", required=False, help_text="Centre's girdle to halo stone."
    )
    gap = figure(LENGTH, "Gap wanted", initial="0.10", required=False, help_text="Between halo stones.")
    names = {
        "centre_diameter_mm": "centre",
        "melee_diameter_mm": "melee",
        "clearance_mm": "clearance",
        "gap_mm": "gap",
    }


def count_round(data: Mapping[str, Any]) -> Answer:
    """How many equal stones stand round a round centre."""
    clearance = 0.15 if data["clearance"] is None else data["clearance"]
    gap = 0.10 if data["gap"] is None else data["gap"]
    given = {"centre_diameter_mm": data["centre"], "melee_diameter_mm": data["melee"]}
    ring = ring_of_stones(**given, clearance_mm=clearance, gap_mm=gap)
    inner, outer = gap_bead_diameters_mm(**given)
    case, layout = drawings.ring_of(data["centre"], data["melee"], clearance, ring.count)
    words = (
        ("One more would overlap by" if ring.next_count_gap_mm < 0 else "One more would stand")
        + f" {abs(ring.next_count_gap_mm):.3f} mm"
        + ("." if ring.next_count_gap_mm < 0 else " apart.")
    )
    return Answer(
        headlines=[Headline(label="Stones that fit", value=str(ring.count), range=f"exactly {ring.exact:.3f}"),
                   Headline(label="Even gap", value=f"{ring.even_gap_mm:.3f}", unit="mm")],
        findings=[Finding(verdict="look", words=words)] if abs(ring.next_count_gap_mm) < 0.05 else [],
        drawings=[drawn(top_view(case, layout, claws=(), options=TopOptions(gaps=False, sizes=False)),
                        "From above, mm; numbered as a setter counts.")],
        facts=[Fact(label="With one stone more", value=words),
               Fact(label="Across the halo", value=f"{ring.outside_diameter_mm:.2f} mm"),
               Fact(label="Circle through the stones' centres", value=f"{ring.centre_line_diameter_mm:.3f} mm"),
               Fact(label="Gap beads, were the stones to touch", value=f"{inner:.2f} inside, {outer:.2f} mm outside")],
        why=["Closed form for true circles: n = π / asin of half a stone and half a gap over the circle's radius. "
             "Dividing the arc instead counts a tenth of a stone too many."],
        acts=[leading("Fit it with the stones in the drawer", "halo", cut="round", diameter=usual(data["centre"]),
                      clearance=usual(clearance), wanted=usual(data["melee"]))],
        sources=("exact-geometry", "steiner-ring"),
    )  # fmt: skip


CALCULATORS = (
    Calculator(
        name="ring-size", title="Ring size",
        does="One finger in every system of sizes, and by how much the charts disagree.",
        form=RingSize, answer=size_in_all, example={"system": "uk", "size": "N½", "width": "2.2"},
    ),
    Calculator(
        name="ring-of-stones", title="Equal stones in a ring",
        does="How many equal stones stand round a round centre, and what gap they leave.",
        form=RingOfStones, answer=count_round, example={"centre": "6.5", "melee": "1.3"},
    ),
)  # fmt: skip
