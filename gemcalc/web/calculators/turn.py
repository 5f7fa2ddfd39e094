"""Turning the stone so that its claws hide its marks."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from gemcalc.covered import Claw, Mark
from gemcalc.drawing import turn_view
from gemcalc.errors import BadInput
from gemcalc.marks import MARK_KINDS, angle_from_clock, claw_sectors, clock_from_angle, mark_severity
from gemcalc.turn import best_turn
from gemcalc.web.answer import Answer, Fact, Finding, Headline, Table, drawn
from gemcalc.web.fields import FigureForm, choice, figure, words
from gemcalc.web.page import Calculator
from gemcalc.web.typed import LENGTH, PERCENT, PLAIN, figure_typed

STEPS = [
    ("", "Freely"),
    ("45", "By eighths: main facets keep to the claws"),
    ("22.5", "By sixteenths"),
    ("90", "By quarters"),
]
_KIND_WORDS = {kind.words.lower(): key for key, kind in MARK_KINDS.items()} | {
    key.replace("-", " "): key for key in MARK_KINDS
}
_SURFACE = ("surface", "at the surface", "reaches the surface")


class Turn(FigureForm):
    """Boxes for marks and claws."""

    marks = words(
        "Marks",
        rows=5,
        max_length=8000,
        required=False,
        help_text="One a line: where on the clock, how far out in %, size, kind. "
        "Such as 4:30, 70 %, 0.3 mm, feather, surface. Or tap them on the drawing.",
    )
    stone = figure(LENGTH, "Stone's diameter")
    claws = figure(PLAIN, "Claws", whole=True, initial="4", required=False)
    first = words("First claw at", required=False, max_length=20, initial="1:30")
    claw = figure(LENGTH, "Width of a claw", initial="1", required=False)
    reach = figure(LENGTH, "Tip reaches in by", initial="0.6", required=False)
    step = choice("It may be turned", STEPS)
    groups = (
        ("The stone", ("stone", "marks")),
        ("The claws", ("claws", "first", "claw", "reach")),
        ("", ("step",)),
    )
    marks.widget.attrs["data-tap"] = ""
    names = {"stone_diameter_mm": "stone", "claw_width_mm": "claw", "reach_mm": "reach", "count": "claws"}


def marks_typed(text: str, *, stone_mm: float) -> tuple[list[Mark], list[str], list[str]]:
    """
    Marks as typed, one a line: (marks, their words, cautions).

    Raises:
        BadInput: a line cannot be read; the message names it.
    """
    marks, said, cautions = [], [], []
    for number, row in enumerate(text.splitlines(), start=1):
        if not row.strip():
            continue
        try:
            mark, what, caution = _mark(row, stone_mm)
        except BadInput as error:
            raise BadInput(f"line {number}: {error.message}", field="marks") from None
        marks.append(mark)
        said.append(what)
        if caution and caution not in cautions:
            cautions.append(caution)
    return marks, said, cautions


def _mark(row: str, stone_mm: float) -> tuple[Mark, str, str]:
    # A comma with a digit on both sides is a decimal comma; a semicolon always parts.
    parts = [part.strip() for part in re.split(r";|,(?!\d)|(?<!\d),", row) if part.strip()]
    angle = angle_from_clock(clock=parts[0])
    out, size, kind, surface = 0.5, 0.2, "crystal", False
    for part in parts[1:]:
        low = part.lower()
        if low in _SURFACE:
            surface = True
        elif low in _KIND_WORDS:
            kind = _KIND_WORDS[low]
        elif low.endswith("%"):
            out = float(figure_typed(part, kind=PERCENT)) / 100
        elif low[:1].isdigit() or low[:1] in ".,":
            size = float(figure_typed(part, kind=LENGTH))
        else:
            known = ", ".join(kind.words.lower() for kind in MARK_KINDS.values())
            raise BadInput(f"“{part[:20]}” is no kind of mark: {known}, or surface")
    if not 0 <= out <= 1:
        raise BadInput("how far out must be from 0 % at the middle to 100 % at the girdle")
    if not 0.01 <= size <= stone_mm:
        raise BadInput(f"the size must be from 0.01 mm to the stone's own {stone_mm:g} mm")
    severity = mark_severity(kind=kind, reaches_surface=surface)
    words_of = f"{MARK_KINDS[kind].words}{', at the surface' if surface else ''}"
    mark = Mark(r=out, angle_deg=angle, size=2 * size / stone_mm, severity=severity.weight)
    return mark, words_of, severity.caution


def turn(data: Mapping[str, Any]) -> Answer:
    """The turn that hides most."""
    stone = data["stone"]
    if not 1 <= stone <= 60:
        raise BadInput(f"must be from 1 to 60, and {stone:g} is not", field="stone")
    marks, said, cautions = marks_typed(data["marks"], stone_mm=stone)
    try:
        first = angle_from_clock(clock=data["first"] or "1:30")
    except BadInput as error:
        raise BadInput(error.message, field="first") from None
    claws = claw_sectors(
        count=4 if data["claws"] is None else data["claws"],
        first_angle_deg=first,
        stone_diameter_mm=stone,
        claw_width_mm=1.0 if data["claw"] is None else data["claw"],
        reach_mm=0.6 if data["reach"] is None else data["reach"],
    )
    if not marks:
        return _blank(claws)
    found = best_turn(marks=marks, claws=claws, step_deg=float(data["step"]) if data["step"] else None)
    best, shares = found.best, found.shares.tolist()
    now = found.passings.covered(0.0).tolist()
    scene = turn_view(
        marks=[{"r": m.r, "angle_deg": m.angle_deg, "size": m.size} for m in marks],
        claws=[_plain(claw) for claw in claws],
        rotation_deg=best.rotation_deg,
        exposed=found.exposed,
        exposed_now=[place for place, share in enumerate(now) if share < 0.995],
    )
    rows = [
        (
            f"{place}. {what}",
            clock_from_angle(angle_deg=mark.angle_deg),
            f"{100 * before:.0f} %",
            f"{100 * after:.0f} %",
        )
        for place, (what, mark, before, after) in enumerate(
            zip(said, marks, now, shares, strict=True), start=1
        )
    ]
    other = 360 - best.rotation_deg
    ways = [f"{best.rotation_deg:.1f}° anticlockwise", f"{other:.1f}° clockwise"]
    value, instead = ways if best.rotation_deg <= 180 else reversed(ways)
    holds = f"{best.from_deg:.1f}° to {best.to_deg:.1f}°, anticlockwise"
    if best.width_deg < 0.05:
        holds = f"{best.rotation_deg:.1f}° alone"
    others = [one for one in found.alternatives(most=6) if abs(one.rotation_deg - best.rotation_deg) > 1]
    return Answer(
        headlines=[Headline(label="Turn the stone", value=value, range=f"or {instead}"),
                   Headline(label="Hidden", value=f"{100 * best.hidden:.0f}", unit="%",
                            range=f"as it lies {100 * found.hidden_now:.0f} %")],
        findings=[Finding(verdict="stop", words=caution) for caution in cautions],
        drawings=[drawn(scene, "Seen from above, as it lies and turned; a filled mark is in the open, "
                               "a dashed ring lies under a claw.")],
        facts=[Fact(label="Hides as much at", value=holds),
               Fact(label="A degree off", value=f"still {100 * found.worst_near:.0f} % hidden, at worst"),
               *([Fact(label="Nearly as good", value=", ".join(f"{one.rotation_deg:.0f}°" for one in others))]
                 if others else [])],
        tables=[Table(caption="Mark by mark", head=("Mark", "at", "hidden now", "turned"), rows=rows, words_to=2)],
        why=["Each mark counts by its area and by how much it hurts the eye; the weights are a maker's judgement. "
             "The covered share is exact, and so is the best turn."],
        caution="A mark under a claw is still there: it is disclosed all the same, and no claw should bear on a feather.",
        sources=("exact-geometry", "practice"),
    )  # fmt: skip


def _blank(claws: list[Claw]) -> Answer:
    """The stone with its claws, waiting for marks."""
    scene = turn_view(marks=[], claws=[_plain(claw) for claw in claws], rotation_deg=0.0, after="Turned")
    return Answer(
        findings=[
            Finding(
                verdict="look", words="No marks yet: tap them on the left stone, or type them, one a line."
            )
        ],
        drawings=[drawn(scene, "Seen from above. Twelve o'clock is where the arrow points.")],
    )


def _plain(claw: Claw) -> dict[str, float]:
    return {"angle_deg": claw.angle_deg, "half_width_deg": claw.half_width_deg, "inner_r": claw.inner_r}


CALCULATORS = (
    Calculator(
        name="turn", title="Turn the stone",
        does="How to turn a stone in its seat so that the claws hide its marks.",
        form=Turn, answer=turn,
        example={"stone": "6.5", "marks": "3, 88 %, 0.3 mm, light crystal\n9, 85 %, 0.25 mm, cloud\n11, 40 %, 0.1 mm"},
    ),
)  # fmt: skip
