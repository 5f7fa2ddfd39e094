"""One hand for every drawing: what each kind of line looks like, and the layer on which it lies."""

from __future__ import annotations

from dataclasses import dataclass

INK, QUIET, SHEET = "#1E2426", "#5B6468", "#FFFFFF"
BRASS, VERDIGRIS, GARNET = "#8A6A1F", "#1F6F6B", "#8C2F39"
FONT = "Source Sans 3, Source Sans Pro, sans-serif"


@dataclass(frozen=True)
class Style:
    """
    How one kind of thing is drawn.

    Args:
        layer: Layer of the DXF file, in words.
        stroke: Colour of the line, or none.
        width: Thickness of the line, mm on a drawing 15 mm wide.
        fill: Colour of the area, or none.
        opacity: Of the fill.
        dash: Lengths of dash and gap in line widths, or nothing.
        flat: Left out of a DXF file, where only true geometry belongs.
    """

    layer: str
    stroke: str = "none"
    width: float = 0.0
    fill: str = "none"
    opacity: float = 1.0
    dash: tuple[float, ...] = ()
    flat: bool = False


KINDS: dict[str, Style] = {
    "melee": Style("STONES", INK, 0.07, SHEET),
    "tone": Style("STONES", fill=INK, opacity=0.055, flat=True),
    "table": Style("FACETS", QUIET, 0.028),
    "girdle": Style("CENTRE", INK, 0.1, SHEET),
    "facet": Style("FACETS", QUIET, 0.045),
    "target": Style("TARGET", VERDIGRIS, 0.05, dash=(5, 3)),
    "bead": Style("BEADS", BRASS, 0.04, SHEET),
    "claw": Style("CLAWS", fill=BRASS, opacity=0.9),
    "ridge": Style("CLAWS", SHEET, 0.03, flat=True),
    "gap": Style("GAPS", GARNET, 0.1),
    "pointer": Style("GAPS", GARNET, 0.04, GARNET),
    "bare": Style("GAPS", GARNET, 0.045, GARNET, 0.12, (3, 2)),
    "dim": Style("DIMENSIONS", QUIET, 0.04),
    "extension": Style("DIMENSIONS", QUIET, 0.024),
    "dimt": Style("DIMENSIONS", fill=QUIET),
    "number": Style("TEXT", fill=INK),
    "note": Style("TEXT", fill=QUIET),
    "heading": Style("TEXT", fill=INK),
    "bar": Style("DIMENSIONS", INK, 0.05, INK),
    "barless": Style("DIMENSIONS", INK, 0.05, SHEET),
    "north": Style("ORIENTATION", fill=VERDIGRIS),
    "axis": Style("ORIENTATION", QUIET, 0.024, dash=(14, 4, 2, 4)),
    "metal": Style("METAL", INK, 0.07, BRASS, 0.14),
    "metal-edge": Style("METAL", INK, 0.045),
    "hole": Style("METAL", INK, 0.07, SHEET),
    "mark": Style("MARKS", GARNET, 0.05, GARNET, 0.85),
    "mark-hidden": Style("MARKS", VERDIGRIS, 0.05, SHEET, 0.6, (2, 1.5)),
    "cover": Style("CLAWS", BRASS, 0.045, BRASS, 0.22),
    "gap-close": Style("GAPS", fill=GARNET, opacity=0.75),
    "gap-right": Style("GAPS", fill=VERDIGRIS, opacity=0.28),
    "gap-wide": Style("GAPS", fill=BRASS, opacity=0.55),
    "inner": Style("TARGET", INK, 0.06),
    # A list's small picture takes the colour of the words beside it, in light and in dark.
    "small": Style("STONES", "currentColor", 0.12),
    "small-girdle": Style("CENTRE", "currentColor", 0.18),
    "small-claw": Style("CLAWS", fill="currentColor"),
}

LAYERS: dict[str, int] = {
    "CENTRE": 7,
    "FACETS": 8,
    "TARGET": 94,
    "STONES": 5,
    "BEADS": 30,
    "CLAWS": 42,
    "GAPS": 1,
    "MARKS": 6,
    "METAL": 40,
    "DIMENSIONS": 9,
    "TEXT": 7,
    "ORIENTATION": 3,
}
"""Layers in words, each with a colour number of the DXF palette."""
