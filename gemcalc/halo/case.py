"""
A halo case as it is asked for: the centre, the target, the melee in the drawer and the setter's rules.

:func:`read_case` turns a plain object (as it comes from JSON or a form) into frozen records and names the field
at fault in the user's words, for example ``centre.length_mm``.
All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from typing import Any

from gemcalc.errors import BadInput

SYMMETRIES = ("D4", "D2", "D1", "C1")
"""From the highest to none: mirrors in both axes and both diagonals, in both axes, in the y axis, no mirror."""

# What each cut is measured by: (needed, optional with its default).
CUTS: dict[str, tuple[tuple[str, ...], dict[str, float | None]]] = {
    "round": (("diameter_mm",), {}),
    "oval": (("length_mm", "width_mm"), {}),
    "superellipse": (("length_mm", "width_mm", "exponent"), {}),
    "cushion": (("length_mm", "width_mm", "corner_radius_mm"), {"side_bow_mm": 0.0}),
    "pear": (("length_mm", "width_mm"), {}),
    "marquise": (("length_mm", "width_mm"), {}),
    "emerald": (("length_mm", "width_mm", "corner_mm"), {}),
    "princess": (("length_mm", "width_mm"), {}),
    "heart": (("length_mm", "width_mm"), {"lobe_mm": None}),
    "outline": ((), {}),
}
MOST_SIZES, MOST_POINTS = 60, 5000


@dataclass(frozen=True, kw_only=True)
class Outline:
    """
    A girdle outline seen from above, centred on its own origin, width along x and length along y.

    Args:
        cut: One of :data:`CUTS`.
        diameter_mm, length_mm, width_mm, exponent, corner_radius_mm, side_bow_mm, corner_mm, lobe_mm: The
            measures of that cut, mm (the exponent is a plain number); None where the cut does not use them.
        points_mm: Corners of a closed polygon, for the cut ``outline``.
    """

    cut: str
    diameter_mm: float | None = None
    length_mm: float | None = None
    width_mm: float | None = None
    exponent: float | None = None
    corner_radius_mm: float | None = None
    side_bow_mm: float | None = None
    corner_mm: float | None = None
    lobe_mm: float | None = None
    points_mm: tuple[tuple[float, float], ...] | None = None

    def plain(self) -> dict[str, Any]:
        """The outline as a plain object, ready for JSON."""
        out: dict[str, Any] = {}
        for item in fields(self):
            value = getattr(self, item.name)
            if value is not None:
                out[item.name] = [list(point) for point in value] if item.name == "points_mm" else value
        return out


@dataclass(frozen=True, kw_only=True)
class Melee:
    """Stocked diameters (mm, rising), how many of each (None: no limit), and the wanted diameter, if any."""

    sizes_mm: tuple[float, ...]
    stock: tuple[int, ...] | None = None
    wanted_mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Rules:
    """The setter's limits, mm; see the fields' names. Limits that do not apply are None."""

    clearance_mm: float
    clearance_max_mm: float
    gap_min_mm: float
    gap_max_mm: float
    gap_wanted_mm: float
    size_step_max_mm: float
    inside_target_max_mm: float = 0.0
    outside_target_max_mm: float = 0.0
    row_gap_min_mm: float = 0.0
    row_gap_max_mm: float = 0.0
    bare_radius_max_mm: float | None = None
    stone_on_deg: tuple[float, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Case:
    """One halo to be solved; see the module."""

    centre: Outline
    target: Outline | None
    melee: Melee
    rules: Rules
    symmetry: str
    rows: int

    def with_rules(self, **changes: Any) -> Case:
        """The same case with some rules changed."""
        return replace(self, rules=replace(self.rules, **changes))

    def with_melee(self, **changes: Any) -> Case:
        """The same case with another drawer of melee."""
        return replace(self, melee=replace(self.melee, **changes))


def size_label(size_mm: float) -> str:
    """Diameter as a key of stock and counts: at least two decimals, never losing any (``1.30``, ``1.125``)."""
    short = f"{size_mm:.2f}"
    return short if abs(float(short) - size_mm) < 1e-9 else f"{size_mm:.6f}".rstrip("0")


def _object(data: Mapping[str, Any], field: str) -> Mapping[str, Any]:
    value = data.get(field)
    if not isinstance(value, Mapping):
        raise BadInput("is needed, as an object in braces", field=field)
    return value


def _number(value: Any, field: str, low: float, high: float) -> float:
    if isinstance(value, str):
        value = value.strip().replace(",", ".")
    if value is None or value == "":
        raise BadInput("is needed", field=field)
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        raise BadInput("must be a number", field=field)
    try:
        figure = float(value)
    except (ValueError, OverflowError):
        raise BadInput("must be a number", field=field) from None
    if not math.isfinite(figure):
        raise BadInput("must be a finite number", field=field)
    if not low <= figure <= high:
        raise BadInput(f"must be from {low:g} to {high:g}, and {figure:g} is not", field=field)
    return figure


def _optional(data: Mapping[str, Any], name: str, field: str, low: float, high: float) -> float | None:
    value = data.get(name)
    return None if value is None or value == "" else _number(value, field, low, high)


def _points(value: Any, field: str) -> tuple[tuple[float, float], ...]:
    if not isinstance(value, list | tuple) or len(value) < 3:
        raise BadInput("needs at least three points", field=field)
    if len(value) > MOST_POINTS:
        raise BadInput(f"has more than {MOST_POINTS} points: thin it out first", field=field)
    points: list[tuple[float, float]] = []
    for index, pair in enumerate(value):
        if not isinstance(pair, list | tuple) or len(pair) != 2:
            raise BadInput("each point must be two numbers, x and y", field=f"{field}.{index}")
        x, y = (_number(part, f"{field}.{index}", -100, 100) for part in pair)
        if not points or math.hypot(x - points[-1][0], y - points[-1][1]) > 1e-7:
            points.append((x, y))
    if len(points) > 1 and math.dist(points[0], points[-1]) < 1e-7:
        points.pop()
    if len(points) < 3:
        raise BadInput("needs at least three different points", field=field)
    return tuple(points)


def read_outline(value: Any, field: str) -> Outline:
    """
    An outline from a plain object.

    Raises:
        BadInput: a measure is missing or impossible; the field is ``FIELD.measure``.
    """
    if not isinstance(value, Mapping):
        raise BadInput("must be an object with a cut and its measures", field=field)
    cut = value.get("cut")
    if not isinstance(cut, str) or cut not in CUTS:
        raise BadInput(f"must be one of {', '.join(CUTS)}", field=f"{field}.cut")
    if cut == "outline":
        return Outline(cut=cut, points_mm=_points(value.get("points_mm"), f"{field}.points_mm"))
    needed, optional = CUTS[cut]
    found: dict[str, float | None] = {}
    for name in needed:
        low, high = (
            (1.1, 20.0) if name == "exponent" else (0.0, 60.0) if name.startswith("corner") else (0.5, 60.0)
        )
        found[name] = _number(value.get(name), f"{field}.{name}", low, high)
    for name, default in optional.items():
        figure = _optional(value, name, f"{field}.{name}", 0.0, 60.0)
        found[name] = default if figure is None else figure
    outline = replace(Outline(cut=cut), **found)  # type: ignore[arg-type]
    _possible(outline, field)
    return outline


def _possible(outline: Outline, field: str) -> None:
    """Raise BadInput where the measures contradict each other."""
    if outline.length_mm is None or outline.width_mm is None:
        return
    length, width = outline.length_mm, outline.width_mm
    least = min(length, width) / 2
    if outline.cut == "marquise" and length < width:
        raise BadInput("a marquise is longer than it is wide", field=f"{field}.length_mm")
    if outline.cut == "pear" and length < width:
        raise BadInput("a pear is at least as long as it is wide", field=f"{field}.length_mm")
    if outline.cut == "emerald" and outline.corner_mm is not None and outline.corner_mm > least:
        raise BadInput("the cut corners are larger than half a side", field=f"{field}.corner_mm")
    if outline.cut == "cushion":
        assert outline.corner_radius_mm is not None and outline.side_bow_mm is not None
        if outline.corner_radius_mm > least:
            raise BadInput("the corner radius is more than half a side", field=f"{field}.corner_radius_mm")
        if outline.side_bow_mm >= 0.3 * least:
            raise BadInput("the sides are bowed too far for this size", field=f"{field}.side_bow_mm")
    if outline.cut == "heart":
        half = width / 2
        lobe = 0.48 * half if outline.lobe_mm is None else outline.lobe_mm
        if not 0.0 < lobe <= half / 2:
            raise BadInput(
                "must be above nought and at most a quarter of the width", field=f"{field}.lobe_mm"
            )
        if length - (half - lobe) < half:
            raise BadInput("a heart of this width must be longer", field=f"{field}.length_mm")


def _melee(data: Mapping[str, Any]) -> Melee:
    sizes = data.get("sizes_mm")
    if not isinstance(sizes, list | tuple) or not sizes:
        raise BadInput("name at least one stocked diameter", field="melee.sizes_mm")
    if len(sizes) > MOST_SIZES:
        raise BadInput(f"name at most {MOST_SIZES} diameters", field="melee.sizes_mm")
    # The order of the drawer changes nothing.
    listed = sorted({_number(size, "melee.sizes_mm", 0.4, 5.0) for size in sizes})
    wanted = _optional(data, "wanted_mm", "melee.wanted_mm", 0.4, 5.0)
    stock = data.get("stock")
    if stock is None:
        return Melee(sizes_mm=tuple(listed), wanted_mm=wanted)
    if not isinstance(stock, Mapping):
        raise BadInput("must give a count for each diameter, or be left out", field="melee.stock")
    counts = dict.fromkeys(listed, 0)
    for key, value in stock.items():
        size = _number(key, f"melee.stock.{key}", 0.4, 5.0)
        count = _number(value, f"melee.stock.{key}", 0, 1e6)
        near = min(listed, key=lambda one: abs(one - size))
        if abs(near - size) < 1e-6:
            counts[near] += int(count)
    return Melee(sizes_mm=tuple(listed), stock=tuple(counts[size] for size in listed), wanted_mm=wanted)


def _rays(value: Any) -> tuple[float, ...]:
    if value is None or value == "":
        return ()
    listed = list(value) if isinstance(value, list | tuple) else [value]
    if len(listed) > 24:
        raise BadInput("name at most 24 rays", field="rules.stone_on_deg")
    return tuple(sorted({_number(ray, "rules.stone_on_deg", -360, 720) % 360.0 for ray in listed}))


def _rules(data: Mapping[str, Any], *, target: bool, rows: int) -> Rules:
    def get(name: str, default: float | None = None, *, low: float = 0.0, high: float = 5.0) -> float:
        value = data.get(name)
        if (value is None or value == "") and default is not None:
            return default
        return _number(value, f"rules.{name}", low, high)

    clearance = get("clearance_mm")
    gap_min = get("gap_min_mm")
    gap_max = get("gap_max_mm")
    rules = Rules(
        clearance_mm=clearance,
        clearance_max_mm=get("clearance_max_mm", clearance),
        gap_min_mm=gap_min,
        gap_max_mm=gap_max,
        gap_wanted_mm=get("gap_wanted_mm", (gap_min + gap_max) / 2),
        size_step_max_mm=get("size_step_max_mm", 5.0),
        inside_target_max_mm=get("inside_target_max_mm", 0.15) if target else 0.0,
        outside_target_max_mm=get("outside_target_max_mm", 0.05) if target else 0.0,
        row_gap_min_mm=get("row_gap_min_mm") if rows == 2 else 0.0,
        row_gap_max_mm=get("row_gap_max_mm") if rows == 2 else 0.0,
        bare_radius_max_mm=_optional(data, "bare_radius_max_mm", "rules.bare_radius_max_mm", 0.0, 10.0),
        stone_on_deg=_rays(data.get("stone_on_deg")),
    )
    for low, high in (
        ("clearance_mm", "clearance_max_mm"),
        ("gap_min_mm", "gap_max_mm"),
        ("row_gap_min_mm", "row_gap_max_mm"),
    ):
        if getattr(rules, high) < getattr(rules, low):
            raise BadInput(f"must not be less than {low}", field=f"rules.{high}")
    return rules


def read_case(data: Mapping[str, Any]) -> Case:
    """
    A case from a plain object with ``centre``, ``target``, ``melee``, ``rules``, ``symmetry`` and ``rows``.

    Args:
        data: The object; lengths mm, angles degrees.
            ``clearance_max_mm`` left out means exactly ``clearance_mm``; ``gap_wanted_mm`` the middle of the band;
            ``size_step_max_mm`` no limit; with a target 0.15 inside and 0.05 outside; symmetry ``any``; one row.

    Raises:
        BadInput: something is missing or impossible; the field is named as the user sees it.
    """
    target = data.get("target")
    rows = data.get("rows", 1)
    rows = 1 if rows in (None, "") else rows
    if isinstance(rows, bool) or str(rows) not in ("1", "2"):
        raise BadInput("must be 1 or 2", field="rows")
    symmetry = data.get("symmetry") or "any"
    if symmetry != "any" and symmetry not in SYMMETRIES:
        raise BadInput(f"must be one of {', '.join(SYMMETRIES)} or any", field="symmetry")
    return Case(
        centre=read_outline(_object(data, "centre"), "centre"),
        target=None if target is None else read_outline(target, "target"),
        melee=_melee(_object(data, "melee")),
        rules=_rules(_object(data, "rules"), target=target is not None, rows=int(rows)),
        symmetry=symmetry,
        rows=int(rows),
    )


def plain_case(case: Case) -> dict[str, Any]:
    """The case as a plain object with every default filled in, ready for JSON and for :func:`read_case`."""
    melee: dict[str, Any] = {"sizes_mm": list(case.melee.sizes_mm), "stock": None}
    if case.melee.stock is not None:
        melee["stock"] = {
            size_label(s): n for s, n in zip(case.melee.sizes_mm, case.melee.stock, strict=True)
        }
    if case.melee.wanted_mm is not None:
        melee["wanted_mm"] = case.melee.wanted_mm
    unused = set() if case.target else {"inside_target_max_mm", "outside_target_max_mm"}
    unused |= set() if case.rows == 2 else {"row_gap_min_mm", "row_gap_max_mm"}
    rules: dict[str, Any] = {}
    for item in fields(case.rules):
        value = getattr(case.rules, item.name)
        if item.name not in unused and value is not None and value != ():
            rules[item.name] = list(value) if isinstance(value, tuple) else value
    return {
        "centre": case.centre.plain(),
        "target": case.target.plain() if case.target else None,
        "melee": melee,
        "rules": rules,
        "symmetry": case.symmetry,
        "rows": case.rows,
    }
