"""
The lines of the check sheet, with what they are judged by and where that comes from.

The figures are targets of published bench guides as collected for this house; each says which kind of
evidence stands behind it. None replaces the setter's own judgement at the microscope.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

EDITION = 1
REOPENED_BY_A_FIX = range(14, 19)
"""Lines that have to be tried again after any fix: tightness, microscope, snag, count, inscription and weight."""

IDENTITY = 18
"""The line on which the stone is known again: by its inscription, or by its plot."""


@dataclass(frozen=True, kw_only=True)
class SheetLine:
    """
    One line. ``unit``, ``low``, ``high`` where a measure is asked for; above ``fail_above`` it cannot pass.

    ``evidence`` is *printed guide* (a published benchmark), *manufacturer*, or *common practice* (no source).
    """

    number: int
    part: str
    words: str
    evidence: str = "common practice"
    unit: str = ""
    low: Decimal | None = None
    high: Decimal | None = None
    fail_above: Decimal | None = None

    def range_in_words(self) -> str:
        """The range it is judged by."""
        if self.low is None:
            return ""
        words = (
            f"{self.low} to {self.high} {self.unit}"
            if self.high is not None
            else f"at least {self.low} {self.unit}"
        )
        return (
            f"{words}; above {self.fail_above} {self.unit} it fails" if self.fail_above is not None else words
        )


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
        words="Depth of the cut into the claw, share of its thickness.",
        evidence="printed guide",
        unit="%",
        low=Decimal(25),
        high=Decimal(40),
        fail_above=Decimal(50),
    ),
    SheetLine(
        number=4,
        part=CENTRE,
        words="Claw covers this share of the way from girdle to table; its height is 60 to 80 % of the table's. "
        "Corner claws: 40 to 50 % contact, relieved so that the point bears on nothing.",
        evidence="printed guide",
        unit="%",
        low=Decimal(30),
        high=Decimal(50),
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
        evidence="printed guide",
        unit="mm",
        low=Decimal("0.5"),
    ),
    SheetLine(
        number=9,
        part=HALO,
        words="Count equals the sheet; spacing even, girdles neither touching nor overlapping.",
        evidence="printed guide",
        unit="mm",
        low=Decimal("0.05"),
        high=Decimal("0.15"),
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
        words="Each seat fitted to its stone; beads equal, round, none split thin. Contact, share of the crown.",
        evidence="printed guide",
        unit="%",
        low=Decimal(30),
        high=Decimal(40),
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
        unit="g",
        low=Decimal("0.5"),
        high=Decimal(60),
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
