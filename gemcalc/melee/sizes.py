"""From a sieve or a diameter to the weight of one melee stone."""

from __future__ import annotations

import math
import re
from bisect import bisect_right
from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range
from gemcalc.melee.plates import PLATES, Plate
from gemcalc.stones.size import GAUGE_MM_AT_1_CT

MELEE_BAND_PCT = 15.0
"""How far published weights of one size differ, %. Source: sieve-chart, sieve-seller, round-chart."""

LEAST_MM = PLATES[0].low_mm
GREATEST_MM = PLATES[-1].high_mm

_LOWER_MM = [plate.low_mm for plate in PLATES]
_MIDDLE_MM = [plate.middle_mm for plate in PLATES]
_BY_NAME = {plate.sieve: plate for plate in PLATES}
_BY_LOWER = {plate.sieve[1:].partition("-")[0]: plate for plate in PLATES if plate.sieve.startswith("+")}
_HALVES = {"½": ".5", " 1/2": ".5"}
_NAME = re.compile(r"\+?(?P<lower>[0-9]+(?:\.[05]+)?)(?:-(?P<upper>[0-9]+(?:\.[05]+)?))?")


@dataclass(frozen=True, kw_only=True, slots=True)
class MeleeSize:
    """
    What is known of one size of melee.

    Args:
        sieve: Name of its row of plates.
        diameter_low_mm: Low end of the row, mm.
        diameter_high_mm: High end of the row, mm.
        weight_ct: Usual weight of one stone, ct.
        low_ct: Low end, ct.
        high_ct: High end, ct.
        per_carat: Stones to the carat.
        why: The reasons, one sentence each.
        sources: Keys of the sources used.
    """

    sieve: str
    diameter_low_mm: float
    diameter_high_mm: float
    weight_ct: float
    low_ct: float
    high_ct: float
    per_carat: float
    why: tuple[str, ...]
    sources: tuple[str, ...]


def plate_of_diameter(*, diameter_mm: float) -> Plate:
    """
    Row of plates that holds a stone of *diameter_mm*.

    Args:
        diameter_mm: Diameter, mm, from 0.70 to 4.50.

    Returns:
        The row whose lower hole is not larger than the stone and whose upper hole is.

    Raises:
        OutOfRange: no plate is that fine or that coarse.

    Source:
        sieve-chart, sieve-memory

    >>> plate_of_diameter(diameter_mm=1.30).sieve
    '+2.5-3'
    """
    in_range(field="diameter_mm", value=diameter_mm, low=LEAST_MM, high=GREATEST_MM)
    return PLATES[max(0, bisect_right(_LOWER_MM, diameter_mm + 1e-9) - 1)]


def plate_named(*, sieve: str) -> Plate:
    """
    Row of plates called *sieve*, as a person writes it.

    Args:
        sieve: Such as `+6.5-7`, `6½–7`, `6 1/2 - 7`, `-0000`, or one plate such as `6.5`
            for the stones it holds back.

    Returns:
        The row.

    Raises:
        BadInput: there is no such row.

    Source:
        sieve-chart

    >>> plate_named(sieve="6½–7").high_mm
    1.9
    """
    text = sieve.strip()[:40]
    for written, meant in _HALVES.items():
        text = text.replace(written, meant)
    for dash in "–—−‐‑":
        text = text.replace(dash, "-")
    text = "".join(text.split()).replace(",", ".")
    text = text.replace("+-", "-")
    if text in _BY_NAME:
        return _BY_NAME[text]
    found = _NAME.fullmatch(text)
    if found is not None:
        lower, upper = (_plain(part) for part in (found["lower"], found["upper"]))
        row = _BY_LOWER.get(lower or "")
        if row is not None and upper in (None, row.sieve.partition("-")[2]):
            return row
    raise BadInput(
        f"is not a sieve of the chart: write two neighbours such as +6.5-7, from {PLATES[0].sieve} "
        f"to {PLATES[-1].sieve}",
        field="sieve",
    )


def _plain(number: str | None) -> str | None:
    """`7.0` as `7`; plates made of zeros (`000`) stay."""
    if number is None or "." not in number:
        return number
    return number.rstrip("0").removesuffix(".")


def melee_of_diameter(*, diameter_mm: float) -> MeleeSize:
    """
    Usual weight of one melee stone of *diameter_mm*.

    Between the middles of the printed rows the weight follows a power of the diameter,
    so that it passes through every printed weight; beyond them the cube.

    Args:
        diameter_mm: Diameter, mm, from 0.70 to 4.50.

    Returns:
        Row, weight and range, good to 15 % either way; the low end reaches down to the cube law of the gauge.

    Raises:
        OutOfRange: no plate is that fine or that coarse.

    Source:
        sieve-chart, sieve-seller, round-chart, hole-gauge

    >>> melee_of_diameter(diameter_mm=1.85).weight_ct
    0.025
    """
    return _size(plate_of_diameter(diameter_mm=diameter_mm), diameter_mm, _weight_at(diameter_mm))


def melee_of_sieve(*, sieve: str) -> MeleeSize:
    """
    Usual weight of one melee stone of a sieve, as printed.

    Args:
        sieve: Name of the row, as :func:`plate_named` reads it.

    Returns:
        Row, printed weight and range, good to 15 % either way.

    Raises:
        BadInput: there is no such row.

    Source:
        sieve-chart, sieve-memory

    >>> size = melee_of_sieve(sieve="+6.5-7")
    >>> size.weight_ct, size.per_carat
    (0.025, 40.0)
    """
    plate = plate_named(sieve=sieve)
    return _size(plate, plate.middle_mm, plate.weight_ct)


def _weight_at(diameter_mm: float) -> float:
    place = bisect_right(_MIDDLE_MM, diameter_mm)
    if place == 0 or place == len(PLATES):
        end = PLATES[0] if place == 0 else PLATES[-1]
        return end.weight_ct * (diameter_mm / end.middle_mm) ** 3
    left, right = PLATES[place - 1], PLATES[place]
    share = math.log(diameter_mm / left.middle_mm) / math.log(right.middle_mm / left.middle_mm)
    return left.weight_ct * float((right.weight_ct / left.weight_ct) ** share)


def _size(plate: Plate, diameter_mm: float, weight_ct: float) -> MeleeSize:
    cube_ct = (diameter_mm / GAUGE_MM_AT_1_CT) ** 3
    share = MELEE_BAND_PCT / 100
    why = ["Published charts disagree by about 15 % either way for one stone: count and weigh the lot."]
    if cube_ct < weight_ct * (1 - share):
        why.append("Geometry alone would give less than this chart prints, so the range reaches lower.")
    if plate.source == "sieve-memory":
        why.append("Plates above 16 are from memory and their weights follow the gauge law.")
    return MeleeSize(
        sieve=plate.sieve,
        diameter_low_mm=plate.low_mm,
        diameter_high_mm=plate.high_mm,
        weight_ct=weight_ct,
        low_ct=min(weight_ct * (1 - share), cube_ct),
        high_ct=weight_ct * (1 + share),
        per_carat=1 / weight_ct,
        why=tuple(why),
        sources=(plate.source, "sieve-seller", "round-chart", "hole-gauge"),
    )
