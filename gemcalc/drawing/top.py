"""The top view: stones, beads and claws to scale, for the setter, for the client, and small for lists."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from gemcalc.drawing import dimension, shapes
from gemcalc.drawing.claws import claw_items, default_angles
from gemcalc.drawing.facets import facet_lines, melee_lines
from gemcalc.drawing.legend import legend_items
from gemcalc.drawing.scene import Box, Circle, Item, Scene, bounds, finish, label, line

Variant = Literal["setter", "client", "mini"]


@dataclass(frozen=True, kw_only=True)
class TopOptions:
    """
    What a top view shows besides the stones themselves.

    Args:
        numbers: Stones numbered clockwise from north.
        centre_size: The centre's own dimensions above and to the left.
        overall: Overall width and length.
        facets: Facet patterns.
        beads: Beads between the stones.
        gaps: The widest gap, and a bare spot that an eye would find.
        target: The outline that the halo should follow.
        sizes: The list of sizes and the gaps below the drawing.
        check_bar: A bar of 10 mm.
        north: The orientation mark.
        claw_shape: pointed or round.
    """

    numbers: bool = True
    centre_size: bool = True
    overall: bool = True
    facets: bool = True
    beads: bool = True
    gaps: bool = True
    target: bool = True
    sizes: bool = True
    check_bar: bool = True
    north: bool = True
    claw_shape: Literal["pointed", "round"] = "pointed"


SETTER = TopOptions()
CLIENT = TopOptions(numbers=False, centre_size=False, gaps=False, target=False, sizes=False, beads=False)
MINI = replace(CLIENT, overall=False, facets=False, check_bar=False, north=False)
OPTIONS: dict[str, TopOptions] = {"setter": SETTER, "client": CLIENT, "mini": MINI}


def setting_order(layout: Mapping[str, Any]) -> list[dict[str, Any]]:
    """
    The stones in the order in which a setter numbers them: row by row, clockwise from north.

    Args:
        layout: The halo's layout.

    Returns:
        Copies of the stones, each with ``number`` from 1 and ``bearing_deg``, clockwise from north, 0 to 360.
    """
    stones = [dict(stone) for stone in layout.get("stones") or []]
    for stone in stones:
        bearing = math.degrees(math.atan2(stone["x_mm"], stone["y_mm"])) % 360
        # A stone that stands on north to within rounding is the first, not the last.
        stone["bearing_deg"] = 0.0 if bearing > 360 - 1e-3 else bearing
    stones.sort(key=lambda stone: (stone.get("row") or 1, stone["bearing_deg"]))
    for number, stone in enumerate(stones, start=1):
        stone["number"] = number
    return stones


def top_view(
    case: Mapping[str, Any],
    layout: Mapping[str, Any] | None,
    *,
    claws: Sequence[float] | None = None,
    variant: Variant = "setter",
    options: TopOptions | None = None,
    title: str | None = None,
    letter_mm: float | None = None,
    claw_mm: float | None = None,
) -> Scene:
    """
    Top view, mm, width along x and length along y, origin at the centre stone's own.

    Args:
        case: The halo case; of it only ``centre`` and ``target`` are needed to draw.
        layout: The halo, or None for the centre stone alone.
        claws: Angles of the claws, degrees anticlockwise from +x; None for the usual ones of the cut.
        variant: setter (everything), client (no numbers), mini (for lists: in the colour of the words).
        options: Overrides what the variant shows.
        title: Words for the drawing.
        letter_mm: Size of the letters, mm; None for one that suits the drawing.
        claw_mm: Thickness of the claws' wire, mm; None for one that suits the stone.

    Source: practice.
    """
    show = options or OPTIONS[variant]
    mini = variant == "mini"
    stones = setting_order(layout or {})
    centre = case["centre"]
    body, numbers = _stones(stones, show, mini=mini)
    body.append(shapes.outline_item(centre, "small-girdle" if mini else "girdle"))
    if show.facets:
        body.append(facet_lines(centre))
    angles = tuple(default_angles(centre) if claws is None else claws)
    kind = "small-claw" if mini else "claw"
    body += claw_items(centre, angles, shape=show.claw_shape, kind=kind, claw_mm=claw_mm)
    box = bounds(item for item in body if item.kind in ("melee", "girdle", "small", "small-girdle"))
    words = title or _title(case, stones)
    if mini:
        return finish(
            body, title=words, description=_describe(case, stones), margin=0.15, weight=_weight(box)
        )
    size = letter_mm or min(max(0.04 * max(box[2] - box[0], box[3] - box[1]) + 0.14, 0.36), 1.2)
    if show.beads and layout:
        body += [Circle("bead", b["x_mm"], b["y_mm"], b["radius_mm"]) for b in layout.get("beads") or []]
    if show.target and case.get("target"):
        body.append(shapes.outline_item(case["target"], "target"))
        box = bounds([*(item for item in body if item.kind in ("melee", "girdle", "target"))])
    body += numbers
    body += _dimensions(case, stones, box, size, show)
    body += legend_items(
        case, layout, stones, top=bounds(body)[1], middle=(box[0] + box[2]) / 2, size=size,
        sizes=show.sizes, gaps=show.gaps, bar=show.check_bar,
    )  # fmt: skip
    if show.north:
        # An arrowhead at a gap under the mark pushes it up.
        pointed = any(
            i.kind == "pointer" and bounds([i])[3] > box[3] and abs(bounds([i])[0]) < size for i in body
        )
        body.append(dimension.north(0.0, box[3] + (0.85 if pointed else 0.3) * size, size))
    return finish(
        body, title=words, description=_describe(case, stones), margin=0.6 * size, weight=_weight(box)
    )


def _weight(box: Box) -> float:
    return max(0.5, max(box[2] - box[0], box[3] - box[1]) / 9.3)


def _stones(stones: list[dict[str, Any]], show: TopOptions, *, mini: bool) -> tuple[list[Item], list[Item]]:
    """The stones, and their numbers apart: claws lie between the two."""
    items: list[Item] = []
    numbers: list[Item] = []
    sizes = sorted({round(stone["diameter_mm"], 4) for stone in stones})
    for stone in stones:
        x, y, diameter = stone["x_mm"], stone["y_mm"], stone["diameter_mm"]
        items.append(Circle("small" if mini else "melee", x, y, diameter / 2))
        if mini:
            continue
        # A deeper tint for each greater size: the setter sees where the sizes change before reading a number.
        tints = sizes.index(round(diameter, 4)) if show.numbers else 0
        items += [Circle("tone", x, y, diameter / 2)] * min(tints, 4)
        if show.numbers:
            digits = str(stone["number"])
            letter = diameter * (0.46 if len(digits) < 3 else 0.36)
            numbers.append(label(digits, x, y, letter, kind="number", middle=True))
        elif show.facets:
            items.append(melee_lines(x, y, diameter))
    return items, numbers


def _dimensions(
    case: Mapping[str, Any], stones: list[dict[str, Any]], box: Box, size: float, show: TopOptions
) -> list[Item]:
    items: list[Item] = []
    centre = bounds([shapes.outline_item(case["centre"], "girdle")])
    whole = (
        bounds([Circle("melee", s["x_mm"], s["y_mm"], s["diameter_mm"] / 2) for s in stones])
        if stones
        else centre
    )
    if show.overall:
        at_left, at_right = _touching(stones, 0, whole[0], -1), _touching(stones, 0, whole[2], 1)
        at_low, at_high = _touching(stones, 1, whole[1], -1), _touching(stones, 1, whole[3], 1)
        items += dimension.across(
            whole[0],
            whole[2],
            box[1] - 1.5 * size,
            f"{whole[2] - whole[0]:.2f}",
            size,
            from_y=(at_left, at_right),
        )
        items += dimension.upright(
            whole[1],
            whole[3],
            box[2] + 1.5 * size,
            f"{whole[3] - whole[1]:.2f}",
            size,
            from_x=(at_low, at_high),
        )
    if show.centre_size and stones:
        is_round = case["centre"]["cut"] == "round"
        sign = "Ø " if is_round else ""
        items += dimension.across(
            centre[0], centre[2], box[3] + 2.1 * size, f"{sign}{centre[2] - centre[0]:.2f}", size,
            from_y=(box[3] + 0.5 * size,) * 2, above=True,
        )  # fmt: skip
        if not is_round:
            items += dimension.upright(
                centre[1], centre[3], box[0] - 1.5 * size, f"{centre[3] - centre[1]:.2f}", size,
                from_x=(box[0] - 0.5 * size,) * 2, left=True,
            )  # fmt: skip
    return items


def _touching(stones: list[dict[str, Any]], axis: int, level: float, sign: int) -> float:
    """Where on the other axis the outermost stone lies from which a thin line starts, mm."""
    mine, other = ("x_mm", "y_mm") if axis == 0 else ("y_mm", "x_mm")
    touching = [s[other] for s in stones if abs(s[mine] + sign * s["diameter_mm"] / 2 - level) < 1e-3]
    if axis == 0:
        return float(min(touching, default=0.0))
    return float(max(touching, default=0.0))


def _title(case: Mapping[str, Any], stones: list[dict[str, Any]]) -> str:
    cut = str(case["centre"]["cut"])
    named = "Scanned stone" if cut == "outline" else cut.capitalize()
    return f"{named} with a halo of {len(stones)} stones, from above" if stones else f"{named}, from above"


def _describe(case: Mapping[str, Any], stones: list[dict[str, Any]]) -> str:
    x, y = shapes.half_size(case["centre"])
    words = f"Centre {2 * x:.2f} by {2 * y:.2f} mm."
    if not stones:
        return words
    box = bounds([Circle("melee", s["x_mm"], s["y_mm"], s["diameter_mm"] / 2) for s in stones])
    counts: dict[str, int] = {}
    for stone in stones:
        key = f"{stone['diameter_mm']:.2f}"
        counts[key] = counts.get(key, 0) + 1
    sizes = ", ".join(f"{counts[key]} of {key} mm" for key in sorted(counts))
    return f"{words} Halo {box[2] - box[0]:.2f} by {box[3] - box[1]:.2f} mm: {sizes}."


__all__ = ["CLIENT", "MINI", "SETTER", "TopOptions", "Variant", "line", "setting_order", "top_view"]
