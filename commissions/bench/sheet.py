"""
The lines of the check sheet, with what they are judged by and where that comes from.

The figures are targets of published bench guides as collected for this house; each says which kind of
evidence stands behind it. None replaces the setter's own judgement at the microscope.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

EDITION = 2
REOPENED_BY_A_FIX = range(14, 19)
"""Lines that have to be tried again after any fix: tightness, microscope, snag, count, inscription and weight."""

IDENTITY = 18
"""The line on which the stone is known again: by its inscription, or by its plot."""


@dataclass(frozen=True, kw_only=True)
class Measure:
    """
    A figure that a line asks for, with its target and where that comes from.

    Outside the target it cannot pass; where ``fail_above`` is given, it can up to there, with a word why.
    """

    label: str
    unit: str
    low: Decimal
    high: Decimal | None = None
    fail_above: Decimal | None = None
    evidence: str = "printed guide"

    def range_in_words(self) -> str:
        """The range it is judged by."""
        if self.high is None:
            return f"at least {self.low} {self.unit}"
        words = f"{self.low} to {self.high} {self.unit}"
        return f"{words}; above {self.fail_above} {self.unit} it fails" if self.fail_above else words

    def is_on_target(self, measured: Decimal) -> bool:
        """Whether it lies within the target."""
        return self.low <= measured and (self.high is None or measured <= self.high)

    def can_pass(self, measured: Decimal) -> bool:
        """Whether a ring with this figure may leave."""
        if self.fail_above is not None:
            return measured <= self.fail_above
        return self.is_on_target(measured)


@dataclass(frozen=True, kw_only=True)
class SheetLine:
    """
    One line, with the figures it asks for (two at most).

    ``evidence`` is *printed guide* (a published benchmark), *manufacturer*, *the agreed drawing*, or *common
    practice* (no source); each figure says its own.
    """

    number: int
    part: str
    words: str
    evidence: str = "common practice"
    measures: tuple[Measure, ...] = ()

    def range_in_words(self) -> str:
        """The ranges it is judged by."""
        if len(self.measures) == 1:
            return self.measures[0].range_in_words()
        return "; ".join(f"{row.label.lower()}: {row.range_in_words()}" for row in self.measures)


CENTRE, HALO, TESTS = "Centre, claw set", "Halo, bead or claw set", "Tests on the clean ring"

LINES = [
    SheetLine(
        number=1,
        part=CENTRE,
        words="Seat cut at even height on every claw; table level from front, side and top; no rocking.",
    ),
    SheetLine(
        number=2,
        part=CENTRE,
        words="No gap above or below the girdle against the light; the girdle touches the seat over the whole "
        "width of each claw.",
    ),
    SheetLine(
        number=3,
        part=CENTRE,
        words="Depth of the cut into the claw, share of its thickness. One institute's benchmark is about 40 %, one "
        "manufacturer stays at 25 %; none goes above half.",
        evidence="printed guide",
        measures=(
            Measure(
                label="Depth of the cut",
                unit="%",
                low=Decimal(25),
                high=Decimal(40),
                fail_above=Decimal(50),
                evidence="printed guides; the 25 % a manufacturer's",
            ),
        ),
    ),
    SheetLine(
        number=4,
        part=CENTRE,
        words="How far the claw covers the way from girdle to table, and how high it stands against the table. "
        "Corner claws stand at 90 to 110 %, with 40 to 50 % contact, relieved so that the point bears on nothing: "
        "answer those as not applicable here and write the figures in words.",
        evidence="printed guide",
        measures=(
            Measure(label="Claw covers", unit="%", low=Decimal(30), high=Decimal(50)),
            Measure(
                label="Claw height of table height",
                unit="%",
                low=Decimal(60),
                high=Decimal(80),
                evidence="printed guide; an older one says 70 to 80 %",
            ),
        ),
    ),
    SheetLine(
        number=5,
        part=CENTRE,
        words="Tips in full contact: no fibre can enter; equal in length, width, shape and spacing; nothing sharp.",
    ),
    SheetLine(number=6, part=CENTRE, words="Closed in opposing order, tightened in two rounds."),
    SheetLine(
        number=7,
        part=CENTRE,
        words="No file, wheel or burr mark on girdle or crown; no abrasion; no lifted burr at the seat.",
    ),
    SheetLine(
        number=8,
        part=CENTRE,
        words="Culet and pavilion clear of the inner rail.",
        evidence="manufacturer",
        measures=(Measure(label="Clear by", unit="mm", low=Decimal("0.5"), evidence="manufacturer"),),
    ),
    SheetLine(
        number=9,
        part=HALO,
        words="Count equals the sheet; spacing even, girdles neither touching nor overlapping.",
        evidence="printed guide",
        measures=(
            Measure(
                label="Widest gap between two stones",
                unit="mm",
                low=Decimal("0.05"),
                high=Decimal("0.15"),
                evidence="printed guides: about 0.10 mm; the 0.05 either way is common practice",
            ),
        ),
    ),
    SheetLine(
        number=10,
        part=HALO,
        words="Tables level and following one line; halo evenly clear of the centre; no step that lets "
        "daylight through.",
    ),
    SheetLine(
        number=11,
        part=HALO,
        words="Each seat fitted to its stone; beads equal, round, none split thin.",
        evidence="printed guide",
        measures=(
            Measure(label="Bead contact of the crown", unit="%", low=Decimal(30), high=Decimal(40)),
            Measure(
                label="Seat wider than its stone by, at most",
                unit="mm",
                low=Decimal(0),
                high=Decimal("0.05"),
                evidence="printed guide: 0.02 to 0.05 mm",
            ),
        ),
    ),
    SheetLine(
        number=12,
        part=HALO,
        words="Drilled through only where the sheet allows; walls between stones whole; shank wall whole.",
    ),
    SheetLine(
        number=13,
        part=HALO,
        words="Bright-cut edges crisp; no slip of the graver; no bead smeared over a facet.",
    ),
    SheetLine(
        number=14,
        part=TESTS,
        words="Tightness under 10×: each stone touched with a brass or pegwood point, the centre with tweezers at "
        "the girdle; tap and listen; a mild pulse in the cleaner, and again.",
    ),
    SheetLine(
        number=15, part=TESTS, words="Every stone under the microscope at 10 to 20×; faults photographed."
    ),
    SheetLine(
        number=16,
        part=TESTS,
        words="Snag test: nylon drawn both ways over every claw and the edge of the halo.",
    ),
    SheetLine(number=17, part=TESTS, words="Counted again after the cleaner; bath strained."),
    SheetLine(
        number=18,
        part=TESTS,
        words="Inscription read again, or the plot compared, after setting; weight of the finished ring.",
        measures=(
            Measure(
                label="Finished ring weighs",
                unit="g",
                low=Decimal("0.5"),
                high=Decimal(60),
                evidence="common practice: no ring is lighter or heavier",
            ),
        ),
    ),
    SheetLine(
        number=19,
        part=TESTS,
        words="Size on the mandrel, roundness, engraving read letter by letter, marks legible.",
    ),
    SheetLine(
        number=20,
        part=TESTS,
        words="Under the gallery: finish, no residue, no pores on polished faces. A pore near a claw is a fix, "
        "even where nobody sees it when the ring is worn.",
    ),
]

BY_NUMBER = {line.number: line for line in LINES}

SETTING_MM = Decimal("0.05")
"""How far a set halo may differ from its drawing, mm: the upper end that is published for the fit of a seat."""


def line_for(number: int, *, figures: dict | None) -> SheetLine:
    """
    One line as it is asked of one ring.

    Where the agreed halo says how near its stones stand (*figures* of its layout), that decides, and not the
    guide's: the ring is to be as it was drawn, and no two girdles may touch.
    """
    line = BY_NUMBER[number]
    if number != GAPS or not figures or "gap_worst_mm" not in figures:
        return line
    least, worst = (
        Decimal(str(figures[name])).quantize(Decimal("0.01")) for name in ("gap_least_mm", "gap_worst_mm")
    )
    measure = replace(
        line.measures[0],
        low=max(Decimal("0.01"), least - SETTING_MM),
        high=worst + SETTING_MM,
        evidence=f"the agreed drawing, {least} to {worst} mm, and {SETTING_MM} mm for the setting",
    )
    return replace(line, evidence="the agreed drawing", measures=(measure,))


GAPS = 9
"""The line about how near the halo's stones stand."""
