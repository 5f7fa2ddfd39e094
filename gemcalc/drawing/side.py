"""The side view: crown, girdle and pavilion of the centre, the halo beside it, the gallery under both."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from gemcalc.drawing import dimension, shapes
from gemcalc.drawing.claws import default_angles
from gemcalc.drawing.profile import HeadProfile, StoneProfile
from gemcalc.drawing.scene import Circle, Item, Path, Scene, bounds, finish, line


@dataclass(frozen=True)
class Head:
    """The head's shapes and levels, mm: y = 0 is the lower edge of the centre's girdle."""

    items: tuple[Item, ...]
    left: float
    right: float
    stone_left: float
    stone_right: float
    table_left: float
    table_right: float
    table: float
    girdle: float
    culet: float
    halo: float
    finger: float


def head(
    case: Mapping[str, Any],
    layout: Mapping[str, Any] | None,
    *,
    stone: StoneProfile,
    setting: HeadProfile,
    seen: Literal["front", "side"] = "front",
    claws: Sequence[float] | None = None,
) -> Head:
    """The head as it is seen with the ring's hole towards the eye (front) or with its edge (side)."""
    centre = case["centre"]
    outline = bounds([shapes.outline_item(centre, "girdle")])
    left, right = (outline[0], outline[2]) if seen == "front" else (outline[1], outline[3])
    width = right - left
    crown, girdle, pavilion = stone.parts(width_mm=width)
    middle = (left + right) / 2
    flat = stone.table_pct / 200 * width
    culet = stone.culet_mm / 2
    table, finger, halo = girdle + crown, -pavilion - setting.culet_clearance_mm, -setting.halo_drop_mm
    stones = [] if layout is None else list(layout.get("stones") or [])
    whole = (
        bounds([Circle("melee", *_turned(s, seen), s["diameter_mm"] / 2) for s in stones])
        if stones
        else outline
    )
    far_left, far_right = (whole[0], whole[2]) if stones else (left, right)
    items: list[Item] = [_basket(far_left, far_right, halo - (setting.tray_mm if stones else 0.5), finger)]
    upper = ((left, 0.0), (left, girdle), (middle - flat, table), (middle + flat, table), (right, girdle))
    lower = ((right, 0.0), (middle + culet, -pavilion), (middle - culet, -pavilion))
    items.append(line("girdle", *upper, *lower, closed=True))
    items += _facets(left, right, middle, flat, girdle, crown, pavilion)
    foot = halo if stones else -0.42 * pavilion
    items += _claws(centre, claws, seen, setting.claw_mm, bottom=foot, top=girdle + 0.55 * crown)
    if stones:
        low = halo - setting.tray_mm
        tray = ((far_left, low), (far_right, low), (far_right, halo), (far_left, halo))
        items.append(line("metal", *tray, closed=True))
        items += _crowns(stones, halo, seen)
    return Head(
        tuple(items), far_left, far_right, left, right, middle - flat, middle + flat,
        table, girdle, -pavilion, halo, finger,
    )  # fmt: skip


def side_view(
    case: Mapping[str, Any],
    layout: Mapping[str, Any] | None,
    *,
    stone: StoneProfile,
    setting: HeadProfile | None = None,
    seen: Literal["front", "side"] = "front",
    claws: Sequence[float] | None = None,
    dimensions: bool = True,
    title: str = "Side view",
    letter_mm: float | None = None,
) -> Scene:
    """
    Side view of stone, halo and gallery, mm.

    Args:
        case: The halo case; of it only the centre is drawn.
        layout: The halo, or None for the centre alone.
        stone: Depth, table, crown and girdle of the centre.
        setting: Tray, claws and clearance; None for usual ones (common practice, no source).
        seen: front shows the width, side the length.
        claws: Angles of the claws; None for the usual ones of the cut.
        dimensions: Whether heights and widths are written.
        title: Words for the drawing.
        letter_mm: Size of the letters, mm; None for one that suits the drawing.

    Raises:
        BadInput: crown and girdle leave no pavilion.
        OutOfRange: a measure cannot be a stone's.

    Source: practice.
    """
    made = head(case, layout, stone=stone, setting=setting or HeadProfile(), seen=seen, claws=claws)
    size = letter_mm or min(max(0.046 * (made.right - made.left) + 0.14, 0.36), 1.2)
    items = list(made.items)
    items.append(line("axis", (made.left - 0.5 * size, made.finger), (made.right + 0.5 * size, made.finger)))
    if dimensions:
        items += _heights(made, size)
    weight = max(0.5, (made.right - made.left) / 9.3)
    described = (
        f"Crown {made.table - made.girdle:.2f}, girdle {made.girdle:.2f}, pavilion {-made.culet:.2f}, "
        f"depth {made.table - made.culet:.2f} mm; table {made.table - made.finger:.2f} mm above the finger."
    )
    return finish(items, title=title, description=described, margin=0.6 * size, weight=weight)


def _heights(made: Head, size: float) -> list[Item]:
    near, beyond = made.right + 1.4 * size, 1.1 * size
    spans = [
        (made.culet, 0.0, f"pavilion {-made.culet:.2f}"),
        (0.0, made.girdle, f"girdle {made.girdle:.2f}"),
        (made.girdle, made.table, f"crown {made.table - made.girdle:.2f}"),
    ]
    items = dimension.chain(near, spans, size, from_x=made.stone_right + 0.2 * size, outwards=beyond)
    far = near + beyond + 7.6 * size
    items += dimension.upright(
        made.culet, made.table, far, f"{made.table - made.culet:.2f}", size, from_x=(far - 1.0 * size,) * 2
    )
    items += dimension.upright(
        made.finger, made.table, made.left - 4.4 * size, f"{made.table - made.finger:.2f}", size,
        from_x=(made.left - 0.5 * size, made.table_left), left=True,
    )  # fmt: skip
    if made.left < made.stone_left - 1e-9:
        items += dimension.upright(
            made.finger, made.halo, made.left - 1.4 * size, f"{made.halo - made.finger:.2f}", size,
            from_x=(made.left - 0.4 * size,) * 2, left=True,
        )  # fmt: skip
    items += dimension.across(
        made.table_left, made.table_right, made.table + 1.2 * size,
        f"table {made.table_right - made.table_left:.2f}", size,
        from_y=(made.table + 0.2 * size,) * 2, above=True,
    )  # fmt: skip
    items += dimension.across(
        made.left, made.right, made.finger - 1.4 * size, f"{made.right - made.left:.2f}", size,
        from_y=(made.halo if made.left < made.stone_left else 0.0,) * 2,
    )  # fmt: skip
    return items


def _turned(stone: Mapping[str, Any], seen: str) -> tuple[float, float]:
    x, y = stone["x_mm"], stone["y_mm"]
    return (x, y) if seen == "front" else (y, -x)


def _basket(left: float, right: float, top: float, finger: float) -> Path:
    """Two rails that sweep in from the halo to the foot on the finger, with the light between them."""
    middle, half = (left + right) / 2, (right - left) / 2
    foot, wall = 0.34 * half, min(0.16 * half, 0.8)
    # A gentle arc inwards, as a gallery wire is bent.
    bend = 0.14
    return Path(
        "metal",
        (
            (middle - 0.86 * half, top, -bend), (middle - foot, finger, 0.0), (middle + foot, finger, -bend),
            (middle + 0.86 * half, top, 0.0), (middle + 0.86 * half - wall, top, bend),
            (middle + foot - wall, finger + wall, 0.0), (middle - foot + wall, finger + wall, bend),
            (middle - 0.86 * half + wall, top, 0.0),
        ),
        closed=True,
    )  # fmt: skip


def _facets(
    left: float, right: float, middle: float, flat: float, girdle: float, crown: float, pavilion: float
) -> list[Item]:
    half = (right - left) / 2
    star = girdle + 0.55 * crown
    items: list[Item] = [
        line("facet", (left, 0.0), (right, 0.0)),
        line("facet", (left, girdle), (right, girdle)),
    ]
    tables = [middle + share * flat for share in (-1.0, -0.42, 0.42, 1.0)]
    stars = [middle + share * half * 0.86 for share in (-0.92, -0.4, 0.4, 0.92)]
    rim = [middle + share * half for share in (-0.71, 0.0, 0.71)]
    for place, x in enumerate(rim):
        items.append(line("facet", (stars[place], star), (x, girdle), (stars[place + 1], star)))
        items.append(line("facet", (x, 0.0), (middle + 0.12 * (x - middle), -pavilion * 0.88)))
    for place in range(3):
        tip = (tables[place] + tables[place + 1]) / 2
        items.append(line("facet", (stars[place], star), (tip, girdle + crown), (stars[place + 1], star)))
    return items


def _crowns(stones: Sequence[Mapping[str, Any]], level: float, seen: str) -> list[Item]:
    """The crowns of the halo's stones on the near side, the farther ones first."""
    near = sorted((s for s in stones if _turned(s, seen)[1] < 0.3), key=lambda s: -_turned(s, seen)[1])
    items: list[Item] = []
    for stone in near:
        x, d = _turned(stone, seen)[0], stone["diameter_mm"]
        rim, top = level + 0.03 * d, level + 0.18 * d
        points = ((x - d / 2, level), (x - d / 2, rim), (x - 0.285 * d, top), (x + 0.285 * d, top))
        items.append(line("melee", *points, (x + d / 2, rim), (x + d / 2, level), closed=True))
    return items


def _claws(
    centre: Mapping[str, Any],
    angles: Sequence[float] | None,
    seen: str,
    width: float,
    *,
    bottom: float,
    top: float,
) -> list[Item]:
    items: list[Item] = []
    for degrees in default_angles(centre) if angles is None else angles:
        x, y = shapes.edge(centre, (0.0, 0.0), degrees)
        at, depth = (x, y) if seen == "front" else (y, -x)
        if depth > 0.05:
            continue
        half = width / 2
        shoulder = top - 0.8 * width
        # Straight wire, then filed to a point that lies over the crown.
        right = ((at + 0.8 * half, bottom), (at + half, shoulder - 0.3 * width), (at + 0.8 * half, shoulder))
        left = tuple((2 * at - px, py) for px, py in reversed(right))
        items.append(line("claw", *right, (at, top), *left, closed=True))
        items.append(line("ridge", (at, top - 0.1 * width), (at, shoulder - 0.6 * width)))
    return items
