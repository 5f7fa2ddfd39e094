"""What the setter's bench aims at for a stone, and whether a planned mount can be made."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.drawing import Shank, section, top_view
from gemcalc.errors import BadInput
from gemcalc.makeability import CAUTION, FINISHING_SIDE_MM, Plan, makeability
from gemcalc.seat_rows import SEAT_FIGURES
from gemcalc.seats import Span, bead_size, claw_wire, seat_depth, tip_cover
from gemcalc.sources import SOURCES
from gemcalc.web import drawings
from gemcalc.web.answer import MARK_WORDS, Answer, Drawing, Finding, Headline, Table, drawn
from gemcalc.web.fields import FigureForm, choice, figure, usual
from gemcalc.web.page import Calculator
from gemcalc.web.typed import LENGTH, PERCENT


class Settings(FigureForm):
    """Boxes for the settings figures of one stone."""

    stone = figure(LENGTH, "Stone", help_text="Diameter, or width of a fancy stone.")
    table = figure(PERCENT, "Table", initial="57", required=False)
    wire = figure(LENGTH, "Claw wire", required=False, help_text="Empty takes the usual one.")
    shared = choice("Do two stones share a claw?", [("no", "No"), ("yes", "Yes")])
    names = {"stone_mm": "stone", "diameter_mm": "stone", "table_pct": "table", "claw_wire_mm": "wire"}


def _mark(source: str) -> str:
    return MARK_WORDS[SOURCES[source].mark]


def _row(words: str, span: Span) -> tuple[str, str, str]:
    shown = (
        f"{span.low:.2f} to {span.high:.2f} {span.unit}" if span.low else f"up to {span.high:.2f} {span.unit}"
    )
    return words, shown, _mark(span.source)


def settings(data: Mapping[str, Any]) -> Answer:
    """The bench's figures for one stone."""
    stone, table = data["stone"], 57.0 if data["table"] is None else data["table"]
    rows, notes, used = [], [], []
    wire = data["wire"]
    try:
        span = claw_wire(stone_mm=stone)
        rows.append(_row("Claw wire, round", span))
        used.append(span.source)
        wire = (span.low + span.high) / 2 if wire is None else wire
    except BadInput:
        notes.append("The trade has a common figure for claw wire only for stones of 2 to 9 mm.")
    cover = tip_cover(diameter_mm=stone, table_pct=table)
    rows.append(_row("Claw tip in over the crown", cover))
    used.append(cover.source)
    if wire is not None:
        seat = seat_depth(claw_wire_mm=wire, shared=data["shared"] == "yes")
        rows.append(_row(f"Seat cut into a claw of {wire:.2f} mm", seat))
        used.append(seat.source)
    if 0.8 <= stone <= 2.0:
        bead = bead_size(stone_mm=stone)
        rows.append(_row("Beads that hold it", bead))
        used.append(bead.source)
    others = [
        (row.label.capitalize(), _ends(row), _mark(row.source) + (f". {row.note}" if row.note else ""))
        for row in SEAT_FIGURES.values()
    ]
    case = {"centre": {"cut": "round", "diameter_mm": stone}}
    return Answer(
        headlines=[Headline(label=words, value=shown) for words, shown, _ in rows[:2]],
        drawings=[drawn(top_view(case, None, options=drawings.ALONE), "The stone with four claws, mm.")],
        tables=[Table(caption="For this stone", head=("What", "Figure", "How it is known"), rows=rows, words_to=3),
                Table(caption="The bench's other figures", head=("What", "Figure", "How it is known"), rows=others,
                      words_to=3)],
        why=notes,
        caution=CAUTION,
        sources=[*used, *(row.source for row in SEAT_FIGURES.values())],
    )  # fmt: skip


def _ends(row) -> str:
    if row.low is None:
        return f"up to {row.high:g} {row.unit}"
    if row.high is None:
        return f"{row.low:g} {row.unit} or more"
    return f"{row.low:g} {row.unit}" if row.low == row.high else f"{row.low:g} to {row.high:g} {row.unit}"


class Planned(FigureForm):
    """Boxes for a planned mount; only what is filled in is judged."""

    stone = figure(LENGTH, "Centre stone", required=False)
    wire = figure(LENGTH, "Claw wire, as modelled", required=False)
    seat = figure(PERCENT, "Seat's share of the claw", required=False)
    shared = choice("Do two stones share a claw?", [("no", "No"), ("yes", "Yes")])
    wall = figure(LENGTH, "Outer wall of the halo", required=False)
    gap = figure(LENGTH, "Least gap between halo stones", required=False)
    clearance = figure(LENGTH, "Centre to halo", required=False)
    culet = figure(LENGTH, "Culet above the inner rail", required=False)
    band_width = figure(LENGTH, "Shank's width, narrowest", required=False)
    band_thickness = figure(LENGTH, "Shank's thickness, thinnest", required=False)
    engraving = figure(LENGTH, "Height of engraved letters", required=False)
    finishing = figure(
        LENGTH, "Finishing takes off each side", required=False, initial=usual(FINISHING_SIDE_MM)
    )
    groups = (
        ("Stone and claws", ("stone", "wire", "seat", "shared", "culet")),
        ("Halo", ("wall", "gap", "clearance")),
        ("Shank", ("band_width", "band_thickness", "engraving", "finishing")),
    )
    names = {
        "stone_mm": "stone", "claw_wire_mm": "wire", "seat_cut_pct": "seat", "wall_mm": "wall",
        "culet_clearance_mm": "culet", "stone_gap_mm": "gap", "halo_clearance_mm": "clearance",
        "band_width_mm": "band_width", "band_thickness_mm": "band_thickness", "engraving_height_mm": "engraving",
        "finishing_side_mm": "finishing",
    }  # fmt: skip


def judge(data: Mapping[str, Any]) -> Answer:
    """Whether a planned mount can be made and will hold."""
    values = {field: data[name] for field, name in Planned.names.items() if data[name] is not None}
    findings = makeability(plan=Plan(**values, shared_claws=data["shared"] == "yes"))
    if not findings:
        raise BadInput("fill in at least one planned measure besides the stone and the finishing")
    worst = findings[0].verdict
    verdicts = {"good": "Nothing against it", "look": "The bench should look", "stop": "Not like this"}
    return Answer(
        headlines=[Headline(label="Can it be made?", value=verdicts[worst])],
        findings=[Finding(verdict=one.verdict, words=one.words) for one in findings],
        drawings=_shank(data),
        why=["Claw, wall and shank are judged as they will be after finishing takes metal off both sides."],
        caution=CAUTION,
        sources=[one.source for one in findings],
    )


def _shank(data: Mapping[str, Any]) -> list[Drawing]:
    if data["band_width"] is None or data["band_thickness"] is None:
        if data["stone"] is None:
            return []
        case = {"centre": {"cut": "round", "diameter_mm": data["stone"]}}
        return [drawn(top_view(case, None, options=drawings.ALONE), "The stone with four claws, mm.")]
    taken = 2 * (FINISHING_SIDE_MM if data["finishing"] is None else data["finishing"])
    shank = Shank(inside_diameter_mm=17.3, profile="court", width_mm=data["band_width"],
                  thickness_mm=data["band_thickness"], width_end_mm=data["band_width"] - taken,
                  thickness_end_mm=data["band_thickness"] - taken)  # fmt: skip
    try:
        scene = section(shank=shank, title="Section of the shank")
    except BadInput:
        return []  # thinner than a shank is drawn; the findings say so
    return [drawn(scene, "A court shank as modelled (top) and after finishing (back), mm.")]


CALCULATORS = (
    Calculator(
        name="settings", title="Settings figures",
        does="Claw wire, seat, tip and beads for a stone, each with how well it is known.",
        form=Settings, answer=settings, example={"stone": "6.5"},
    ),
    Calculator(
        name="makeability", title="Can it be made?",
        does="Whether planned claws, walls, gaps and shank can be made and will hold, after finishing.",
        form=Planned, answer=judge,
        example={"stone": "6.5", "wire": "1.1", "seat": "33", "wall": "0.5", "gap": "0.08", "clearance": "0.12",
                 "band_width": "2.2", "band_thickness": "1.8", "engraving": "1.2"},
    ),
)  # fmt: skip
