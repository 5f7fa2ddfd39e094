"""Whether a planned mount can be made and will hold, in words."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields
from typing import Literal

from gemcalc.errors import in_range
from gemcalc.seat_rows import SEAT_FIGURES
from gemcalc.seats import claw_wire

Verdict = Literal["good", "look", "stop"]

CAUTION = "Figures of the trade, not a warranty: the setter who holds the stone decides."
"""Caution that goes with every finding."""

FINISHING_SIDE_MM = 0.1
"""Metal taken off each side in finishing, mm. Source: maker-limits."""

_SLACK = 1e-6
"""So that 0.5 less twice 0.1 counts as 0.3, which binary arithmetic misses by a hair."""


@dataclass(frozen=True, kw_only=True)
class Plan:
    """
    Planned dimensions as modelled, before finishing; leave out what is not planned yet.

    Args:
        stone_mm: Diameter or width of the centre stone, mm.
        claw_wire_mm: Claw wire, mm.
        seat_cut_pct: Share of the claw that the seat takes, percent.
        shared_claws: Whether claws hold two stones.
        wall_mm: Outer wall of the halo tray, mm.
        culet_clearance_mm: Culet above the inner rail, mm.
        stone_gap_mm: Smallest gap between halo stones, mm.
        halo_clearance_mm: Between centre stone and halo, mm.
        band_width_mm: Width of the shank at its narrowest, mm.
        band_thickness_mm: Thickness of the shank at its thinnest, mm.
        engraving_height_mm: Height of the engraved letters, mm.
        finishing_side_mm: Metal taken off each side in finishing, mm.
    """

    stone_mm: float | None = None
    claw_wire_mm: float | None = None
    seat_cut_pct: float | None = None
    shared_claws: bool = False
    wall_mm: float | None = None
    culet_clearance_mm: float | None = None
    stone_gap_mm: float | None = None
    halo_clearance_mm: float | None = None
    band_width_mm: float | None = None
    band_thickness_mm: float | None = None
    engraving_height_mm: float | None = None
    finishing_side_mm: float = FINISHING_SIDE_MM


@dataclass(frozen=True, kw_only=True)
class Finding:
    """
    What one check found.

    Args:
        check: What was checked.
        verdict: ``good``, ``look`` (unusual: the bench decides) or ``stop`` (below what can be made or held).
        words: The finding in one sentence.
        figure: The figure that was judged, after finishing where finishing touches it.
        source: Key of the source of the limit.
    """

    check: str
    verdict: Verdict
    words: str
    figure: float
    source: str


def _plain(figure: float) -> str:
    """A limit as it is written: to hundredths, without noughts at its end."""
    return f"{round(figure, 2):g}"


def _judged(
    check: str,
    figure: float,
    *,
    source: str,
    stop_below: float,
    good_from: float,
    good_to: float = math.inf,
    unit: str = "mm",
) -> Finding:
    shown = f"{check} is {figure:.2f} {unit}"
    if figure < stop_below - _SLACK:
        words = f"{shown}, and less than {_plain(stop_below)} {unit} is too little."
        return Finding(check=check, verdict="stop", words=words, figure=figure, source=source)
    good = good_from - _SLACK <= figure <= good_to + _SLACK
    usual = (
        f"{_plain(good_from)} {unit} or more"
        if good_to == math.inf
        else f"{_plain(good_from)} to {_plain(good_to)} {unit}"
    )
    words = f"{shown}; {usual} is usual."
    return Finding(check=check, verdict="good" if good else "look", words=words, figure=figure, source=source)


def _ends(key: str) -> tuple[float, float, str]:
    row = SEAT_FIGURES[key]
    low = -math.inf if row.low is None else row.low
    return low, math.inf if row.high is None else row.high, row.source


def _stones(plan: Plan) -> Iterator[Finding]:
    if plan.stone_gap_mm is not None:
        low, high, source = _ends("stone-gap")
        yield _judged(
            "Gap between halo stones",
            plan.stone_gap_mm,
            source=source,
            stop_below=low,
            good_from=low,
            good_to=high,
        )
    if plan.halo_clearance_mm is not None:
        low, high, source = _ends("halo-clearance")
        # Girdles that would touch cannot be set; a tight gap can.
        yield _judged(
            "Clearance between centre stone and halo",
            plan.halo_clearance_mm,
            source=source,
            stop_below=0.0,
            good_from=low,
            good_to=high,
        )
    if plan.culet_clearance_mm is not None:
        low, _, source = _ends("culet-clearance")
        yield _judged(
            "Culet above the inner rail",
            plan.culet_clearance_mm,
            source=source,
            stop_below=low,
            good_from=low,
        )


def _claws(plan: Plan) -> Iterator[Finding]:
    taken = 2 * plan.finishing_side_mm
    if plan.claw_wire_mm is not None:
        finished = plan.claw_wire_mm - taken
        if plan.stone_mm is not None and 2.0 <= plan.stone_mm <= 9.0:
            span = claw_wire(stone_mm=plan.stone_mm)
            yield _judged(
                "Claw after finishing",
                finished,
                source=span.source,
                stop_below=0.75 * span.low,
                good_from=span.low,
                good_to=span.high,
            )
        else:
            words = (
                f"Claw after finishing is {finished:.2f} mm; "
                "the trade has a common figure only for stones of 2 to 9 mm."
            )
            yield Finding(
                check="Claw after finishing", verdict="look", words=words, figure=finished, source="practice"
            )
    if plan.seat_cut_pct is not None:
        _, most, source = _ends("seat-cut-shared" if plan.shared_claws else "seat-cut-limit")
        low, high, _ = (0.0, most, source) if plan.shared_claws else _ends("seat-cut")
        cut, name = plan.seat_cut_pct, "Seat's share of the claw"
        if cut > most + _SLACK:
            words = f"{name} is {cut:.0f} %, and more than {most:g} % weakens the claw."
            yield Finding(check=name, verdict="stop", words=words, figure=cut, source=source)
        else:
            yield _judged(name, cut, source=source, stop_below=0.0, good_from=low, good_to=high, unit="%")


def _metal(plan: Plan) -> Iterator[Finding]:
    taken = 2 * plan.finishing_side_mm
    if plan.wall_mm is not None:
        low, high, source = _ends("tray-wall")
        yield _judged(
            "Outer wall after finishing",
            plan.wall_mm - taken,
            source=source,
            stop_below=low,
            good_from=low,
            good_to=high,
        )
    for key, check, planned in (
        ("shank-thickness", "Shank's thickness after finishing", plan.band_thickness_mm),
        ("shank-width", "Shank's width after finishing", plan.band_width_mm),
    ):
        if planned is not None:
            low, _, source = _ends(key)
            # Thinner shanks are made and worn; below two thirds they bend on the hand.
            yield _judged(check, planned - taken, source=source, stop_below=low * 2 / 3, good_from=low)
    if plan.engraving_height_mm is not None and plan.band_width_mm is not None:
        margin, _, source = _ends("engraving-margin")
        needed = plan.engraving_height_mm + 2 * margin
        yield _judged(
            f"Band width after finishing, for letters {plan.engraving_height_mm:g} mm high,",
            plan.band_width_mm - taken,
            source=source,
            stop_below=plan.engraving_height_mm,
            good_from=needed,
        )


def makeability(*, plan: Plan) -> list[Finding]:
    """
    Findings in words on planned dimensions; only what is planned is judged.

    Claw, wall and shank are judged as they will be after finishing takes metal off both sides.

    Args:
        plan: The planned dimensions, mm and percent, each from 0 to 100.

    Returns:
        One :class:`Finding` for each check, worst first; show :data:`CAUTION` with them.

    Raises:
        OutOfRange: a dimension is not a number from 0 to 100 (a gap or clearance may be down to -10).

    Source:
        maker-limits, gia-benchmark-prong, gia-benchmark-bead, ja-guide, practice

    >>> [(f.verdict, f.words) for f in makeability(plan=Plan(culet_clearance_mm=0.3))]
    [('stop', 'Culet above the inner rail is 0.30 mm, and less than 0.5 mm is too little.')]
    """
    for item in fields(plan):
        value = getattr(plan, item.name)
        if value is None or isinstance(value, bool):
            continue
        low = -10.0 if "gap" in item.name or "clearance" in item.name else 0.0
        in_range(field=item.name, value=value, low=low, high=100)
    findings = [*_stones(plan), *_claws(plan), *_metal(plan)]
    return sorted(findings, key=lambda finding: ("stop", "look", "good").index(finding.verdict))
