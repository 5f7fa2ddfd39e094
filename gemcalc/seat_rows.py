"""Settings figures as rows: what the bench aims at, and on whose word."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class SeatFigure:
    """
    One figure of the setter's bench.

    Args:
        key: Short name.
        label: What it is, in words.
        low: Lower end; None where there is none.
        high: Upper end; None where there is none.
        unit: mm, % or degrees.
        source: Key of the source; its mark tells how well the figure is known.
        note: What to mind, in one sentence.
    """

    key: str
    label: str
    low: float | None
    high: float | None
    unit: str
    source: str
    note: str = ""


# key, label, low, high, unit, source, note
_ROWS: tuple[tuple[str, str, float | None, float | None, str, str, str], ...] = (
    ("claw-cover", "claw tip over the crown, of girdle to table", 30, 50, "%", "gia-benchmark-prong",
     "Round stones."),
    ("claw-height", "claw height, of the height of the table", 60, 80, "%", "gia-benchmark-prong", ""),
    ("claw-height-older", "claw height, of the height of the table (older guide)", 70, 80, "%", "ja-guide",
     ""),
    ("seat-cut", "claw thickness cut away for the seat", 25, 40, "%", "gia-benchmark-prong",
     "The target; more than half fails."),
    ("seat-cut-limit", "claw thickness cut away, never above", None, 50, "%", "ja-guide", ""),
    ("seat-cut-shared", "claw thickness cut away where two stones share a claw", None, 25, "%", "ja-guide",
     ""),
    ("corner-claw-height", "corner claw height, of the height of the table", 90, 110, "%",
     "gia-benchmark-v-prong", ""),
    ("corner-claw-cover", "corner claw over the crown", 40, 50, "%", "gia-benchmark-v-prong",
     "Relieve the inside so that the point of the stone bears on nothing."),
    ("seat-bur", "angle of the seat bur", 90, 90, "degrees", "stuller-bench",
     "Slightly under the stone's size."),
    ("bead-cover", "bead over the crown", 30, 40, "%", "gia-benchmark-bead", ""),
    ("stone-gap", "gap between bead-set stones", 0.05, 0.15, "mm", "practice",
     "About 0.10 mm is the benchmark."),
    ("stone-gap-benchmark", "gap between bead-set stones, benchmark", 0.10, 0.10, "mm", "gia-benchmark-bead",
     ""),
    ("pave-strip", "metal each side of a single row", 0.5, None, "mm", "ganoksin-pave", ""),
    ("channel-cover", "channel wall over the stone, of its diameter", 10, 15, "%", "channel-page", ""),
    ("bead-size", "bead for a 1.0 mm stone", 0.2, 0.4, "mm", "bead-article", "Weak evidence."),
    ("seat-fit", "seat's diameter against the stone's", 0.02, 0.05, "mm", "bead-article", "Weak evidence."),
    ("halo-stones", "halo stones", 0.8, 2.0, "mm", "practice", "Mostly 1.0 to 1.5 mm."),
    ("halo-clearance", "clearance between centre stone and halo", 0.10, 0.25, "mm", "practice", ""),
    ("tray-wall", "outer wall of a halo tray, finished", 0.3, 0.5, "mm", "practice", ""),
    ("shank-thickness", "shank at the base, finished, gold", 1.5, None, "mm", "practice", ""),
    ("shank-width", "shank at the base, finished, gold", 1.8, None, "mm", "practice", ""),
    ("culet-clearance", "culet or pavilion clear of the inner rail", 0.5, None, "mm", "maker-limits", ""),
    ("finishing", "metal taken off each side in finishing", 0.1, 0.1, "mm", "maker-limits",
     "0.2 mm off a thickness in all."),
    ("engraving-margin", "plain metal each side of engraved letters", 0.4, None, "mm", "practice", ""),
    ("engraving-height", "height of engraved letters that read well", 1.0, 2.5, "mm", "practice", ""),
)  # fmt: skip

SEAT_FIGURES: dict[str, SeatFigure] = {
    row[0]: SeatFigure(
        key=row[0], label=row[1], low=row[2], high=row[3], unit=row[4], source=row[5], note=row[6]
    )
    for row in _ROWS
}
"""The settings figures by key."""


@dataclass(frozen=True, kw_only=True)
class ClawRow:
    """
    Claw wire for a range of stones.

    Args:
        stone_low_mm: Smallest stone, mm.
        stone_high_mm: Largest stone, mm.
        wire_low_mm: Thinnest claw wire, mm.
        wire_high_mm: Thickest, mm.
        source: Key of the source.
    """

    stone_low_mm: float
    stone_high_mm: float
    wire_low_mm: float
    wire_high_mm: float
    source: str = "practice"


CLAW_ROWS: tuple[ClawRow, ...] = (
    ClawRow(stone_low_mm=2.0, stone_high_mm=4.0, wire_low_mm=0.7, wire_high_mm=0.8),
    ClawRow(stone_low_mm=5.0, stone_high_mm=6.5, wire_low_mm=0.9, wire_high_mm=1.0),
    ClawRow(stone_low_mm=7.0, stone_high_mm=9.0, wire_low_mm=1.1, wire_high_mm=1.3),
)
"""Claw wire by stone size, mm. Source: practice."""
