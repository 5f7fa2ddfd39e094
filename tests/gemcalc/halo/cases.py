"""Cases that the halo tests share: lengths mm."""

from __future__ import annotations

import copy
from typing import Any

ROUND = {"cut": "round", "diameter_mm": 6.5}
MIXED = [1.0, 1.05, 1.1, 1.15, 1.2, 1.25, 1.3, 1.35, 1.4]
GRADUATED = [1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.55, 1.6, 1.7, 1.8]

RULES: dict[str, Any] = {
    "clearance_mm": 0.10,
    "clearance_max_mm": 0.10,
    "gap_min_mm": 0.03,
    "gap_max_mm": 0.12,
    "gap_wanted_mm": 0.05,
    "size_step_max_mm": 0.30,
}
TO_TARGET = {"clearance_max_mm": 0.25, "inside_target_max_mm": 0.15, "outside_target_max_mm": 0.05}


def case(centre: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """A plain case round *centre*; ``rules`` and ``melee`` are merged, everything else is replaced."""
    out: dict[str, Any] = {
        "centre": centre,
        "target": None,
        "melee": {"sizes_mm": MIXED, "stock": None},
        "rules": dict(RULES),
        "symmetry": "any",
        "rows": 1,
    }
    for key, value in copy.deepcopy(changes).items():
        out[key] = {**out[key], **value} if key in ("rules", "melee") else value
    return copy.deepcopy(out)


def square_cushion(size: float, corner: float) -> dict[str, Any]:
    """A cushion as long as wide."""
    return {"cut": "cushion", "length_mm": size, "width_mm": size, "corner_radius_mm": corner}
