"""Every figure that a layout claims, worked out again and compared."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping
from typing import Any

import numpy as np
import shapely

from gemcalc.halo.check.chain import Floats, Measured

LENGTH_MM = 0.0005
AREA_MM2 = 0.002
WEIGHT_SHARE = 0.004
COST_SHARE = 0.002

# A brilliant of crown 34.5°, pavilion 40.75°, girdle 3 % and table 57 % as two cones and a disc, d = 1.
_CROWN = (1 - 0.57) / 2 * math.tan(math.radians(34.5))
_PAVILION = 0.5 * math.tan(math.radians(40.75))
_SOLID = math.pi / 12 * (_CROWN * (1 + 0.57 + 0.57**2) + _PAVILION) + math.pi / 4 * 0.03
CARATS_PER_CUBIC_MM = _SOLID * 3.52 / 1000 / 0.2
"""Weight of a round brilliant diamond of 1 mm, ct, from its solid at 3.52 g/cm3."""


def untrue(*, case: Mapping[str, Any], figures: Mapping[str, Any], m: Measured) -> list[str]:
    """
    Words for each claimed figure that is not so, or is missing.

    Args:
        case: The case that the layout answers.
        figures: What the layout claims.
        m: What was measured on it.
    """
    words: list[str] = []
    for name, (value, slack) in expected(case=case, m=m).items():
        claimed = figures.get(name)
        if not isinstance(claimed, int | float) or not math.isfinite(claimed):
            words.append(f"{name} is missing")
        elif abs(claimed - value) > slack:
            words.append(f"{name} is given as {claimed:.6g} and is {value:.6g}")
    words += _counts(case=case, figures=figures, m=m)
    return words


def expected(*, case: Mapping[str, Any], m: Measured) -> dict[str, tuple[float, float]]:
    """
    The figures that a layout must claim, each with the difference that is let pass.

    Args:
        case: The case that the layout answers.
        m: What was measured on it.
    """
    gaps = np.concatenate([row.gaps for row in m.rows.values()])
    away = m.from_centre[m.row == 1]
    low, high = (m.at - m.radius[:, None]).min(axis=0), (m.at + m.radius[:, None]).max(axis=0)
    weight = _weight_ct(case=case, m=m)
    found = {
        "stones": (float(len(m.at)), 0.0),
        "weight_ct": (weight, WEIGHT_SHARE * weight + 1e-6),
        "gap_least_mm": (float(gaps.min()), LENGTH_MM),
        "gap_mean_mm": (float(gaps.mean()), LENGTH_MM),
        "gap_worst_mm": (float(gaps.max()), LENGTH_MM),
        "clearance_mean_mm": (float(away.mean()), LENGTH_MM),
        "clearance_worst_mm": (float(away.max()), LENGTH_MM),
        "bare_radius_mm": (m.bare_radius_mm, LENGTH_MM),
        "inner_gap_area_mm2": (inner_area_mm2(m), AREA_MM2),
        "width_mm": (float(high[0] - low[0]), LENGTH_MM),
        "length_mm": (float(high[1] - low[1]), LENGTH_MM),
    }
    if m.target is not None:
        found["outer_gap_area_mm2"] = (outer_area_mm2(m), AREA_MM2)
    cost = objective(case=case, m=m)
    if cost is not None:
        found["cost"] = (cost, COST_SHARE * cost + 0.02)
    return found


def _weight_ct(*, case: Mapping[str, Any], m: Measured) -> float:
    return float(CARATS_PER_CUBIC_MM * ((2 * m.radius) ** 3).sum())


def _counts(*, case: Mapping[str, Any], figures: Mapping[str, Any], m: Measured) -> list[str]:
    sizes = [float(size) for size in case["melee"]["sizes_mm"]]

    def nearest(value: float) -> float:
        return min(sizes, key=lambda size: abs(size - value))

    used = Counter(nearest(2 * float(r)) for r in m.radius)
    claimed = figures.get("counts")
    if not isinstance(claimed, Mapping):
        return ["counts is missing"]
    given = Counter[float]()
    for size, count in claimed.items():
        given[nearest(float(size))] += int(count)
    true = {size: count for size, count in given.items() if count} == dict(used)
    return [] if true else ["counts are not those of the stones"]


def inner_area_mm2(m: Measured) -> float:
    """Area between the centre and the first row, mm2: the polygon of its middles less centre and stones."""
    left = shapely.make_valid(m.rows[1].polygon).difference(m.centre.polygon)
    return float(left.difference(_stones(m)).area)


def outer_area_mm2(m: Measured) -> float:
    """Area between outer row and target, mm2: the target less the polygon of middles and the stones."""
    assert m.target is not None
    left = m.target.polygon.difference(shapely.make_valid(m.outer.polygon))
    return float(left.difference(_stones(m)).area)


def _stones(m: Measured) -> shapely.MultiPolygon:
    # Polygons of the discs' own area: no bias from cutting corners, whatever the number of corners.
    count = 360
    turn = 2 * math.pi * np.arange(count) / count
    swell = math.sqrt((2 * math.pi / count) / math.sin(2 * math.pi / count))
    unit: Floats = swell * np.stack([np.cos(turn), np.sin(turn)], axis=1)
    rings = m.at[:, None, :] + m.radius[:, None, None] * unit[None, :, :]
    # Laid together without a union: sound stones do not overlap, and others are judged elsewhere.
    polygons = shapely.polygons(rings)
    gathered = shapely.multipolygons(polygons)
    return gathered if gathered.is_valid else shapely.union_all(polygons)


def objective(*, case: Mapping[str, Any], m: Measured) -> float | None:
    """
    The sum that a search makes least; None where the case leaves it open.

    A stone of row 2 is as far off as it stands from the nearest of row 1 beyond the least row gap.

    Args:
        case: The case as it was asked for; lengths mm.
        m: What was measured of the layout.
    """
    rules, wanted = case["rules"], case["melee"].get("wanted_mm")
    gap = rules.get("gap_wanted_mm")
    if gap is None:
        return None
    off = m.from_centre - float(rules.get("clearance_mm") or 0.0)
    if 2 in m.rows:
        second = m.row == 2
        nearest = m.apart[np.ix_(second, m.row == 1)].min(axis=1)
        off = off.copy()
        off[second] = nearest - float(rules.get("row_gap_min_mm") or 0.0)
    total = float(((off / 0.03) ** 2).sum())
    for row in m.rows.values():
        total += float((((row.gaps - gap) / 0.02) ** 2).sum() + ((row.steps / 0.10) ** 2).sum())
    if m.target is not None:
        total += float(((m.within_target[m.outer.members] / 0.04) ** 2).sum())
    if wanted is not None:
        total += float((((2 * m.radius - wanted) / 0.05) ** 2).sum())
    return total
