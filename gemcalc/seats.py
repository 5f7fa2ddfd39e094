"""Settings figures for one stone: claw, seat, tip, bead."""

from __future__ import annotations

from dataclasses import dataclass

from gemcalc.errors import in_range
from gemcalc.seat_rows import CLAW_ROWS


@dataclass(frozen=True, kw_only=True)
class Span:
    """
    A figure with its two ends.

    Args:
        low: Lower end.
        high: Upper end.
        unit: mm or %.
        source: Key of the source; its mark tells how well the figure is known.
    """

    low: float
    high: float
    unit: str
    source: str


def claw_wire(*, stone_mm: float) -> Span:
    """
    Diameter of round claw wire in mm for a stone's size.

    Between the printed ranges of stones the ends are drawn straight from one to the next.

    Args:
        stone_mm: Diameter, or width of a fancy stone, mm, from 2 to 9.

    Returns:
        A :class:`Span`, mm.

    Raises:
        OutOfRange: *stone_mm* is outside 2 to 9, where the trade has no common figure.

    Source:
        practice

    >>> claw_wire(stone_mm=6.5)
    Span(low=0.9, high=1.0, unit='mm', source='practice')
    """
    in_range(field="stone_mm", value=stone_mm, low=2.0, high=9.0)
    before = CLAW_ROWS[0]
    for row in CLAW_ROWS:
        if stone_mm < row.stone_low_mm:
            share = (stone_mm - before.stone_high_mm) / (row.stone_low_mm - before.stone_high_mm)
            low = before.wire_low_mm + share * (row.wire_low_mm - before.wire_low_mm)
            high = before.wire_high_mm + share * (row.wire_high_mm - before.wire_high_mm)
            return Span(low=low, high=high, unit="mm", source=row.source)
        if stone_mm <= row.stone_high_mm:
            return Span(low=row.wire_low_mm, high=row.wire_high_mm, unit="mm", source=row.source)
        before = row
    return Span(low=before.wire_low_mm, high=before.wire_high_mm, unit="mm", source=before.source)


def seat_depth(*, claw_wire_mm: float, shared: bool = False) -> Span:
    """
    Depth in mm to which a seat is cut into a claw.

    Args:
        claw_wire_mm: Thickness of the claw, mm, from 0.2 to 5.
        shared: Whether two stones share the claw.

    Returns:
        A :class:`Span`, mm: a quarter to two fifths of the claw; up to a quarter where it is shared.

    Raises:
        OutOfRange: *claw_wire_mm* is outside its range.

    Source:
        gia-benchmark-prong, ja-guide

    >>> seat_depth(claw_wire_mm=1.0).high
    0.4
    """
    in_range(field="claw_wire_mm", value=claw_wire_mm, low=0.2, high=5)
    if shared:
        return Span(low=0.0, high=0.25 * claw_wire_mm, unit="mm", source="ja-guide")
    return Span(low=0.25 * claw_wire_mm, high=0.4 * claw_wire_mm, unit="mm", source="gia-benchmark-prong")


def tip_cover(*, diameter_mm: float, table_pct: float = 57.0) -> Span:
    """
    How far in mm a claw's tip reaches in over the crown of a round stone.

    Formula: 30 to 50 % of the distance from girdle to table, (diameter - table) / 2, seen from above.

    Args:
        diameter_mm: Diameter of the stone, mm, from 0.5 to 50.
        table_pct: Table in percent of the diameter, from 30 to 90.

    Returns:
        A :class:`Span`, mm.

    Raises:
        OutOfRange: an input is outside its range.

    Source:
        gia-benchmark-prong

    >>> tip_cover(diameter_mm=6.5).low
    0.419
    """
    in_range(field="diameter_mm", value=diameter_mm, low=0.5, high=50)
    in_range(field="table_pct", value=table_pct, low=30, high=90)
    crown = diameter_mm * (1 - table_pct / 100) / 2
    return Span(low=0.3 * crown, high=0.5 * crown, unit="mm", source="gia-benchmark-prong")


def bead_size(*, stone_mm: float) -> Span:
    """
    Diameter in mm of the beads for a small stone: 0.2 to 0.4 of the stone, from one weak source for 1.0 mm.

    Args:
        stone_mm: Diameter of the stone, mm, from 0.8 to 2.0.

    Returns:
        A :class:`Span`, mm.

    Raises:
        OutOfRange: *stone_mm* is outside 0.8 to 2.0, too far from the one printed size.

    Source:
        bead-article

    >>> bead_size(stone_mm=1.0).high
    0.4
    """
    in_range(field="stone_mm", value=stone_mm, low=0.8, high=2.0)
    return Span(low=0.2 * stone_mm, high=0.4 * stone_mm, unit="mm", source="bead-article")
