"""Random halo cases for benchmarks and suites: ten outlines, half with a target, a third with a stock."""

from __future__ import annotations

import random
from typing import Any

from gemcalc.halo.case import Case, read_case, size_label

CUTS = (
    "round", "oval", "superellipse", "cushion", "pear", "marquise", "emerald", "princess", "heart", "outline",
)  # fmt: skip


def _centre(draw: random.Random, cut: str) -> dict[str, Any]:
    width = round(draw.uniform(4.0, 9.0), 2)
    longer = round(width * draw.uniform(1.05, 1.45), 2)
    match cut:
        case "round":
            return {"cut": cut, "diameter_mm": width}
        case "superellipse":
            return {
                "cut": cut,
                "length_mm": longer,
                "width_mm": width,
                "exponent": round(draw.uniform(2.2, 3.5), 2),
            }
        case "cushion":
            length = draw.choice([width, longer])
            corner = round(draw.uniform(0.2, 0.4) * width, 2)
            return {"cut": cut, "length_mm": length, "width_mm": width, "corner_radius_mm": corner}
        case "marquise":
            return {"cut": cut, "length_mm": round(1.9 * width, 2), "width_mm": width}
        case "emerald":
            return {"cut": cut, "length_mm": longer, "width_mm": width, "corner_mm": round(0.15 * width, 2)}
        case "heart":
            return {"cut": cut, "length_mm": round(1.05 * width, 2), "width_mm": width}
        case "outline":
            return _bevelled(width, longer)
        case _:
            return {"cut": cut, "length_mm": longer, "width_mm": width}


def _bevelled(width: float, length: float) -> dict[str, Any]:
    """A shield of seven straight sides, alike left and right."""
    a, b = width / 2, length / 2
    right = [(0.45 * a, -b), (a, -0.2 * b), (0.8 * a, 0.75 * b)]
    points = [*right, (0.0, b), *((-x, y) for x, y in reversed(right))]
    return {"cut": "outline", "points_mm": [[round(x, 3), round(y, 3)] for x, y in points]}


def _target(draw: random.Random, centre: dict[str, Any], beyond: float) -> dict[str, Any]:
    """Another outline for the outer edge, about *beyond* outside the centre on its axes."""
    width = float(centre.get("width_mm") or centre["diameter_mm"])
    length = float(centre.get("length_mm") or centre["diameter_mm"])
    wide, long = round(width + 2 * beyond, 2), round(length + 2 * beyond, 2)
    if centre["cut"] != "cushion" and draw.random() < 0.5:
        exponent = round(draw.uniform(2.05, 2.5), 2)
        return {"cut": "superellipse", "length_mm": long, "width_mm": wide, "exponent": exponent}
    if centre["cut"] == "cushion":
        # Softer or harder corners than a parallel outline would have.
        corner = (float(centre["corner_radius_mm"]) + beyond) * draw.uniform(0.85, 1.1)
    else:
        corner = draw.uniform(0.32, 0.45) * min(wide, long)
    corner = round(min(corner, 0.49 * min(wide, long)), 2)
    return {"cut": "cushion", "length_mm": long, "width_mm": wide, "corner_radius_mm": corner}


def sample(draw: random.Random) -> Case:
    """
    One random case.

    Args:
        draw: The source of chance; the same seed gives the same cases.
    """
    with_target = draw.random() < 0.5
    cut = draw.choice(("round", "oval", "cushion")) if with_target else draw.choice(CUTS)
    centre = _centre(draw, cut)
    clearance = round(draw.uniform(0.05, 0.15), 3)
    least = round(draw.uniform(0.9, 1.4), 1)
    sizes = [round(least + 0.05 * i, 2) for i in range(draw.choice((4, 6, 8, 10)))]
    target = None
    if with_target:
        sizes = [round(least + 0.05 * i, 2) for i in range(14)]
        target = _target(draw, centre, clearance + least + 0.05)
    stock = None
    if draw.random() < 1 / 3:
        stock = {size_label(size): draw.choice((0, 4, 8, 12, 16, 24, 40)) for size in sizes}
    return read_case(
        {
            "centre": centre,
            "target": target,
            "melee": {"sizes_mm": sizes, "stock": stock},
            "rules": {
                "clearance_mm": clearance,
                "clearance_max_mm": round(clearance + (0.12 if with_target else 0.0), 3),
                "gap_min_mm": 0.03,
                "gap_max_mm": 0.12,
                "gap_wanted_mm": 0.05,
                "size_step_max_mm": 0.30,
                **({"inside_target_max_mm": 0.15, "outside_target_max_mm": 0.05} if with_target else {}),
            },
            "symmetry": "any",
            "rows": 1,
        }
    )
