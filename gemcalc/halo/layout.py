"""
A solved halo as an answer: its stones, beads and figures.

Lengths mm, areas mm2, weights ct.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt

from gemcalc.halo import objective
from gemcalc.halo.beads import beads
from gemcalc.halo.case import Case, plain_case, size_label
from gemcalc.halo.outline import Girdle
from gemcalc.halo.solve import Row, Solved, bare_of, reach_of, rolled

Floats = npt.NDArray[np.float64]

_TABLE = 0.57
_CROWN = (1 - _TABLE) / 2 * math.tan(math.radians(34.5))
_PAVILION = 0.5 * math.tan(math.radians(40.75))
_SOLID = math.pi / 12 * (_CROWN * (1 + _TABLE + _TABLE**2) + _PAVILION) + math.pi / 4 * 0.03
CARATS_PER_MM3 = _SOLID * 3.52 / 200
"""Weight of a round brilliant diamond of 1 mm, ct: its solid (crown 34.5 degrees, pavilion 40.75 degrees, girdle
3 %, table 57 %) at 3.52 g/cm3; about 0.0037. Source: exact-geometry."""

PLACES = 7
"""Decimals of a length in mm that are given out: a tenth of a nanometre."""


def carats(diameters: Floats) -> Floats:
    """
    Weight of round brilliant diamonds of these *diameters* (mm), ct each.

    An estimate by the solid of a well-cut stone: weigh the real ones before they are priced.

    Source:
        exact-geometry
    """
    return CARATS_PER_MM3 * diameters**3


def gaps_of(row: Row) -> Floats:
    """Gap from each stone of a row to the next, mm."""
    x, y, d = row
    return np.hypot(np.roll(x, -1) - x, np.roll(y, -1) - y) - (d + np.roll(d, -1)) / 2


def _corner_areas(row: Row) -> tuple[float, float, float]:
    """Area of the polygon of middles, of the stones' parts inside it, and of the parts outside, mm2."""
    x, y, d = row
    polygon = float(np.sum(x * np.roll(y, -1) - np.roll(x, -1) * y)) / 2
    ahead = np.arctan2(np.roll(y, -1) - y, np.roll(x, -1) - x)
    back = np.arctan2(np.roll(y, 1) - y, np.roll(x, 1) - x)
    inside = (back - ahead) % (2 * math.pi)
    within = float(np.sum(np.square(d / 2) * inside)) / 2
    return polygon, within, float(np.sum(np.square(d / 2))) * math.pi - within


def _cost(case: Case, rows: tuple[Row, ...]) -> float:
    """The objective over all rows; a second row floats off the first, and only the outer one has a target."""
    reach, rules = reach_of(case), case.rules
    total = 0.0
    for number, (x, y, d) in enumerate(rows, start=1):
        if number == 1:
            off = -rolled(case.centre, reach, "centre").nearest(x, y)[0] - d / 2 - rules.clearance_mm
        else:
            ix, iy, inner = rows[0]
            apart = np.hypot(x[:, None] - ix, y[:, None] - iy) - (d[:, None] + inner) / 2
            off = np.min(apart, axis=1) - rules.row_gap_min_mm
        short = None
        if case.target is not None and number == len(rows):
            short = rolled(case.target, reach, "target").nearest(x, y)[0] - d / 2
        total += objective.chain_cost(
            gaps=gaps_of((x, y, d)),
            diameters=d,
            floats=off,
            off_target=short,
            gap_wanted=rules.gap_wanted_mm,
            wanted=case.melee.wanted_mm,
        )
    return total


def figures(case: Case, rows: tuple[Row, ...]) -> dict[str, Any]:
    """
    Every figure of a halo.

    Args:
        case: What was asked for.
        rows: Its stones, inner row first.

    Source:
        exact-geometry, practice
    """
    reach = reach_of(case)
    centre = rolled(case.centre, reach, "centre")
    x, y, d = (np.concatenate([row[i] for row in rows]) for i in range(3))
    gaps = np.concatenate([gaps_of(row) for row in rows])
    clearance = -centre.nearest(rows[0][0], rows[0][1])[0] - rows[0][2] / 2
    bare, bare_x, bare_y = bare_of(case, rows)
    inner_polygon, inner_part, _ = _corner_areas(rows[0])
    out: dict[str, Any] = {
        "stones": len(d),
        "counts": {
            size_label(size): int(np.sum(np.abs(d - size) < 1e-9)) for size in sorted(set(d.tolist()))
        },
        "weight_ct": float(np.sum(carats(d))),
        "gap_least_mm": float(np.min(gaps)),
        "gap_mean_mm": float(np.mean(gaps)),
        "gap_worst_mm": float(np.max(gaps)),
        "clearance_mean_mm": float(np.mean(clearance)),
        "clearance_worst_mm": float(np.max(clearance)),
        "bare_radius_mm": bare,
        "bare_at_mm": [bare_x, bare_y],
        "inner_gap_area_mm2": inner_polygon - inner_part - centre.area,
    }
    if case.target is not None:
        target = rolled(case.target, reach, "target")
        outer_polygon, _, outer_part = _corner_areas(rows[-1])
        ox, oy, od = rows[-1]
        # What sticks out of the target covers nothing of it.
        beyond = _beyond(target, ox, oy, od / 2)
        out["outer_gap_area_mm2"] = target.area - outer_polygon - outer_part + beyond
    out["width_mm"] = float(np.max(x + d / 2) - np.min(x - d / 2))
    out["length_mm"] = float(np.max(y + d / 2) - np.min(y - d / 2))
    out["cost"] = _cost(case, rows)
    return {key: round(value, PLACES) if isinstance(value, float) else value for key, value in out.items()}


def _beyond(target: Girdle, x: Floats, y: Floats, radii: Floats) -> float:
    """Area of the parts of stones that stick out of the target, mm2."""
    depth, gx, gy = target.nearest(x, y)
    out = depth < radii
    if not out.any():
        return 0.0
    # Each cap is cut into slices between its rim and the nearest points of the target.
    turn = np.linspace(-1.3, 1.3, 161)
    angle = np.arctan2(-gy[out], -gx[out])[:, None] + turn
    r = radii[out][:, None]
    px, py = x[out][:, None] + r * np.cos(angle), y[out][:, None] + r * np.sin(angle)
    over, ox, oy = target.nearest(px, py)
    height = np.maximum(0.0, -over)
    fx, fy = px + height * ox, py + height * oy
    along = (px[:, 1:] - fx[:, :-1]) * (py[:, :-1] - fy[:, 1:]) - (px[:, :-1] - fx[:, 1:]) * (
        py[:, 1:] - fy[:, :-1]
    )
    return float(np.sum(np.abs(along))) / 2


def _ordered(row: Row) -> Row:
    """The row anticlockwise, starting at the first stone at or after east, with its coordinates as given out."""
    x, y, d = row
    angle = np.arctan2(y, x)
    angle = np.where(angle < -1e-9, angle + 2 * math.pi, angle)
    turn = -int(np.argmin(angle))
    return (
        np.round(np.roll(x, turn), PLACES) + 0.0,
        np.round(np.roll(y, turn), PLACES) + 0.0,
        np.roll(d, turn),
    )


def layout_of(case: Case, solved: Solved) -> dict[str, Any]:
    """
    The answer for a solved halo, not yet checked: ``broken`` is empty.

    Args:
        case: What was asked for.
        solved: What was found.
    """
    rows = tuple(_ordered(row) for row in solved.rows)
    stones = [
        {"x_mm": float(x), "y_mm": float(y), "diameter_mm": float(d), "row": number}
        for number, row in enumerate(rows, start=1)
        for x, y, d in zip(*row, strict=True)
    ]
    grains: list[tuple[float, float, float]] = []
    if rows:
        centre = rolled(case.centre, reach_of(case), "centre")
        grains = beads(centre=centre, rows=[(x, y, d / 2) for x, y, d in rows])
    answer: dict[str, Any] = {
        "feasible": solved.sound,
        "symmetry": solved.symmetry,
        "stones": stones,
        "beads": [
            {"x_mm": round(x, PLACES + 2), "y_mm": round(y, PLACES + 2), "radius_mm": r} for x, y, r in grains
        ],
        "figures": figures(case, rows) if rows else {},
        "broken": [],
    }
    if solved.sound:
        answer["proof"] = {
            "optimal": solved.optimal,
            "bound": round(min(solved.bound, answer["figures"]["cost"]), 6),
        }
        if solved.proofs:
            answer["proof"]["rows"] = [
                {"cost": round(one.cost, 6), "bound": round(one.bound, 6), "optimal": one.optimal}
                for one in solved.proofs
            ]
    else:
        answer["proof"] = {"impossible": solved.optimal}
    return answer


def checked(case: Case, solved: Solved) -> dict[str, Any]:
    """
    The layout of *solved* with the rules that the independent check finds broken.

    A layout that the check does not pass is never called feasible, whatever the search believes; one of whose
    figures any is untrue loses them all and says so under ``untrue``.
    """
    return judged(case, layout_of(case, solved))


def judged(case: Case, layout: dict[str, Any]) -> dict[str, Any]:
    """A copy of *layout* that says which rules of *case* the independent check finds broken."""
    # Only here is the checker's geometry library needed: a solve on its own does not pay for it.
    from gemcalc.halo.check import verify

    layout = {key: value for key, value in layout.items() if key not in ("words", "untrue")}
    verdict = verify(case=plain_case(case), layout=layout)
    layout["broken"] = list(verdict.broken)
    # The check has the last word both ways: what keeps every rule to its half micrometre is sound, even where
    # the search, which is stricter, came to rest a hair beside a limit; and a halo of which any figure is not
    # true is not handed out as sound, whatever its stones keep.
    layout["feasible"] = bool(layout["stones"]) and not verdict.broken and not verdict.false_figures
    if verdict.words:
        layout["words"] = dict(verdict.words)
    if verdict.false_figures:
        layout["untrue"], layout["figures"] = list(verdict.false_figures), {}
    return layout
