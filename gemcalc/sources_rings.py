"""Sources of ring sizes, units and rings of circles."""

from __future__ import annotations

from gemcalc.source_row import Source

RING_SOURCES: tuple[Source, ...] = (
    Source(
        key="iso-8653",
        citation=(
            "ISO 8653:2016, Jewellery, ring sizes: the size is the inner circumference; ring stick 41 to 76."
        ),
        mark="seen",
    ),
    Source(
        key="jis-s-4700",
        citation=(
            "JIS S 4700:1998 (identical to ISO 8653:1986), full text: nearest whole millimetre, "
            "written ISO 8653-43."
        ),
        mark="seen",
    ),
    Source(
        key="wikipedia-ring-size",
        citation=(
            "Wikipedia, Ring size: inside diameters of ISO 49 to 72; one US size is 0.032 inch of diameter."
        ),
        mark="seen",
    ),
    Source(
        key="ring-chart",
        citation="International ring size chart widely reproduced from Wikipedia (36.5 mm + 2.55 mm a size).",
        mark="seen",
    ),
    Source(
        key="igs-ring-chart",
        citation="International Gem Society, Ring Size Comparison Chart.",
        mark="seen",
    ),
    Source(
        key="chard-ring-size",
        citation="Chard, ring sizes: diameter 11.54 mm + 0.83 mm a size.",
        mark="seen",
    ),
    Source(
        key="rowlett",
        citation="Rowlett, How Many? A Dictionary of Units, 'ring size'.",
        mark="seen",
    ),
    Source(
        key="jcs-pages",
        citation=(
            "Japanese goldsmiths' pages (Tenmaya, tomigin, cho-kin): size 1 is 13 mm, a third of a "
            "millimetre a size."
        ),
        mark="seen",
    ),
    Source(
        key="bs-6820",
        citation=(
            "BS 6820:1987 as given by the GNU Units definitions: C is 40 mm of circumference, 1.25 "
            "mm a letter."
        ),
        mark="seen",
    ),
    Source(
        key="gnu-units",
        citation="GNU Units 2.22 (the program `units`): ring sizes, troy units, carat.",
        mark="lib",
    ),
    Source(
        key="pint",
        citation="pint 0.24.4 (open library): registry of units.",
        mark="lib",
    ),
    Source(
        key="steiner-ring",
        citation=(
            "Descartes circle theorem and Steiner's ring of equal circles: sin(pi/n) = (a - b)/(a + "
            "b) (Weisstein)."
        ),
        mark="seen",
    ),
)
