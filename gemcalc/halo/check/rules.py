"""Rules R01 to R14, each judged alone on a measured layout, with a tolerance of half a micrometre."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Callable, Mapping
from typing import Any

import numpy as np

from gemcalc.halo.check.chain import Floats, Measured

TOLERANCE_MM = 0.0005
"""Half a micrometre: far below what a setter can feel, far above rounding."""

Case = Mapping[str, Any]
Layout = Mapping[str, Any]
Rule = Callable[[Case, Layout, Measured], str | None]

MIRRORS: dict[str, tuple[tuple[tuple[int, int], tuple[int, int]], ...]] = {
    "D4": (((-1, 0), (0, 1)), ((0, 1), (1, 0))),
    "D2": (((-1, 0), (0, 1)), ((1, 0), (0, -1))),
    "D1": (((-1, 0), (0, 1)),),
    "C1": (),
}
CONTAINS = {
    "any": ("D4", "D2", "D1", "C1"),
    "D4": ("D4",),
    "D2": ("D4", "D2"),
    "D1": ("D4", "D2", "D1"),
    "C1": ("D4", "D2", "D1", "C1"),
}


def _limit(case: Case, name: str, otherwise: float) -> float:
    value = case["rules"].get(name)
    return otherwise if value is None else float(value)


def _microns(value: float) -> str:
    return f"{1000 * value:.1f} µm"


def stocked(case: Case, layout: Layout, m: Measured) -> str | None:
    """R02: every diameter is a stocked size."""
    sizes = np.array([float(size) for size in case["melee"]["sizes_mm"]])
    off = np.abs(2 * m.radius[:, None] - sizes[None, :]).min(axis=1)
    if off.max() > TOLERANCE_MM:
        return f"a stone of {2 * m.radius[off.argmax()]:.4f} mm is not a stocked size"
    return None


def counted(case: Case, layout: Layout, m: Measured) -> str | None:
    """R03: no size is used more often than stock allows."""
    stock = case["melee"].get("stock")
    if stock is None:
        return None
    held = {float(size): int(count) for size, count in stock.items()}
    sizes = [float(size) for size in case["melee"]["sizes_mm"]]
    used = Counter(min(sizes, key=lambda size: abs(size - 2 * r)) for r in m.radius)
    for size, count in sorted(used.items()):
        nearest = min(held, key=lambda other: abs(other - size), default=None)
        there = held[nearest] if nearest is not None and abs(nearest - size) < 0.006 else 0
        if count > there:
            return f"{count} of {size:.2f} mm are used and {there} are in stock"
    return None


def overlap(case: Case, layout: Layout, m: Measured) -> str | None:
    """R04: no two stones overlap, in whatever row."""
    least = _least(m.apart)
    return f"two stones overlap by {_microns(-least)}" if least < -TOLERANCE_MM else None


def spaced(case: Case, layout: Layout, m: Measured) -> str | None:
    """R05: any two stones of one row are at least the least gap apart."""
    wanted = _limit(case, "gap_min_mm", 0.0)
    for number, row in m.rows.items():
        least = _least(m.apart[np.ix_(row.members, row.members)])
        if least < wanted - TOLERANCE_MM:
            return f"two stones of row {number} are {_microns(least)} apart, less than {_microns(wanted)}"
    return None


def _least(apart: Floats) -> float:
    return float((apart + np.diag(np.full(len(apart), np.inf))).min())


def girdle(case: Case, layout: Layout, m: Measured) -> str | None:
    """R06: each stone of row 1 stands outside the centre and within the wanted distance of its girdle."""
    away = m.from_centre[m.row == 1]
    low = _limit(case, "clearance_mm", 0.0)
    high = _limit(case, "clearance_max_mm", math.inf)
    if away.min() < low - TOLERANCE_MM:
        return f"a stone is {_microns(away.min())} from the centre's girdle, less than {_microns(low)}"
    if away.max() > high + TOLERANCE_MM:
        return f"a stone is {_microns(away.max())} from the centre's girdle, more than {_microns(high)}"
    return None


def closed(case: Case, layout: Layout, m: Measured) -> str | None:
    """R07: each row is one closed chain round the centre and no neighbour gap is above the greatest."""
    high = _limit(case, "gap_max_mm", math.inf)
    heart = m.centre.polygon.representative_point()
    for number, row in m.rows.items():
        if not row.polygon.is_valid or not row.polygon.contains(heart):
            return f"row {number} does not close round the centre"
        if m.from_centre[row.members].min() < -TOLERANCE_MM:
            return f"a stone of row {number} stands on the centre"
        if row.gaps.max() > high + TOLERANCE_MM:
            return f"a gap in row {number} is {_microns(row.gaps.max())}, more than {_microns(high)}"
    return None


def outer_edge(case: Case, layout: Layout, m: Measured) -> str | None:
    """R08: each stone of the outer row reaches the target to within its limits."""
    if m.target is None:
        return None
    short = m.within_target[m.outer.members]
    inside = _limit(case, "inside_target_max_mm", math.inf)
    outside = _limit(case, "outside_target_max_mm", math.inf)
    if short.max() > inside + TOLERANCE_MM:
        return f"a stone stops {_microns(short.max())} short of the target, more than {_microns(inside)}"
    if short.min() < -outside - TOLERANCE_MM:
        return f"a stone stands {_microns(-short.min())} out of the target, more than {_microns(outside)}"
    return None


def stepped(case: Case, layout: Layout, m: Measured) -> str | None:
    """R09: neighbours differ in size by no more than the greatest step."""
    high = _limit(case, "size_step_max_mm", math.inf)
    worst = max(float(row.steps.max()) for row in m.rows.values())
    if worst > high + TOLERANCE_MM:
        return f"neighbours differ by {worst:.3f} mm, more than {high:.3f}"
    return None


def symmetric(case: Case, layout: Layout, m: Measured) -> str | None:
    """R10: the stones map to themselves under the symmetry claimed, and it is the one asked for."""
    claimed = layout.get("symmetry")
    asked = case.get("symmetry") or "any"
    if claimed not in MIRRORS:
        return f"{claimed!r} is not a symmetry"
    if claimed not in CONTAINS[asked]:
        return f"{asked} is asked for and only {claimed} is claimed"
    for mirror in MIRRORS[claimed]:
        image = m.at @ np.array(mirror, dtype=float).T
        off = np.hypot(image[:, None, 0] - m.at[None, :, 0], image[:, None, 1] - m.at[None, :, 1])
        other_size = np.abs(m.radius[:, None] - m.radius[None, :]) > TOLERANCE_MM
        off = np.where(other_size | (m.row[:, None] != m.row[None, :]), np.inf, off)
        if off.min(axis=1).max() > TOLERANCE_MM:
            return f"a stone has no twin under {claimed}"
    return None


def between_rows(case: Case, layout: Layout, m: Measured) -> str | None:
    """R11: each stone of row 2 keeps its distance to the nearest of row 1."""
    if 2 not in m.rows:
        return None
    nearest = m.apart[np.ix_(m.row == 2, m.row == 1)].min(axis=1)
    low, high = _limit(case, "row_gap_min_mm", 0.0), _limit(case, "row_gap_max_mm", math.inf)
    if nearest.min() < low - TOLERANCE_MM:
        return f"a stone of row 2 is {_microns(nearest.min())} from row 1, less than {_microns(low)}"
    if nearest.max() > high + TOLERANCE_MM:
        return f"a stone of row 2 is {_microns(nearest.max())} from row 1, more than {_microns(high)}"
    return None


def beaded(case: Case, layout: Layout, m: Measured) -> str | None:
    """R12: each bead touches two stones and no more, neighbours in their row, and not the centre."""
    if not len(m.beads):
        return None
    pairs = {
        frozenset((int(a), int(b)))
        for row in m.rows.values()
        for a, b in zip(row.members, np.roll(row.members, -1), strict=True)
    }
    away = np.hypot(m.beads[:, None, 0] - m.at[None, :, 0], m.beads[:, None, 1] - m.at[None, :, 1])
    away = away - m.radius[None, :] - m.beads[:, None, 2]
    to_centre = m.centre.signed(m.beads[:, :2]) - m.beads[:, 2]
    for place in range(len(m.beads)):
        touched = np.flatnonzero(away[place] <= TOLERANCE_MM)
        if len(touched) != 2 or frozenset(int(t) for t in touched) not in pairs:
            return f"bead {place + 1} touches {len(touched)} stones, not two neighbours"
        if away[place][touched].min() < -TOLERANCE_MM:
            return f"bead {place + 1} bites into a stone by {_microns(-away[place].min())}"
        if to_centre[place] <= TOLERANCE_MM:
            return f"bead {place + 1} touches the centre"
    return None


def filled(case: Case, layout: Layout, m: Measured) -> str | None:
    """R13: no circle larger than the bare spot allowed fits between centre, stones and target."""
    high = _limit(case, "bare_radius_max_mm", math.inf)
    if math.isinf(high):
        return None
    radius = m.bare_radius_mm
    if radius > high + TOLERANCE_MM:
        return f"a circle of radius {radius:.4f} mm fits into a bare spot, more than {high:.4f}"
    return None


def on_rays(case: Case, layout: Layout, m: Measured) -> str | None:
    """R14: a stone of the outer row is centred on each ray asked for."""
    at = m.at[m.outer.members]
    for degrees in case["rules"].get("stone_on_deg") or []:
        x, y = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
        off = np.where(at @ np.array([x, y]) > 0, np.abs(at @ np.array([-y, x])), np.inf)
        if off.min() > TOLERANCE_MM:
            return f"no stone is centred on the ray at {degrees:g}°"
    return None


RULES: dict[str, Rule] = {
    "R02": stocked,
    "R03": counted,
    "R04": overlap,
    "R05": spaced,
    "R06": girdle,
    "R07": closed,
    "R08": outer_edge,
    "R09": stepped,
    "R10": symmetric,
    "R11": between_rows,
    "R12": beaded,
    "R13": filled,
    "R14": on_rays,
}
