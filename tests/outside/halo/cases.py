"""Cases for checks from outside."""

from __future__ import annotations

from typing import Any

RULES = {
    "clearance_mm": 0.10, "clearance_max_mm": 0.10,
    "gap_min_mm": 0.03, "gap_max_mm": 0.12, "gap_wanted_mm": 0.06,
    "size_step_max_mm": 0.3, "inside_target_max_mm": 0.1, "outside_target_max_mm": 0.1,
    "row_gap_min_mm": 0.03, "row_gap_max_mm": 0.15,
}  # fmt: skip
SIZES = [1.0, 1.05, 1.1, 1.15, 1.2, 1.25, 1.3, 1.35, 1.4, 1.5, 1.6, 1.7, 1.8]


def case(
    centre: dict[str, Any],
    *,
    target: dict[str, Any] | None = None,
    sizes: list[float] | None = None,
    stock: dict[str, int] | None = None,
    wanted: float | None = None,
    symmetry: str = "any",
    rows: int = 1,
    **rules: Any,
) -> dict[str, Any]:
    """A whole case with the usual rules, some of them changed."""
    return {
        "centre": centre,
        "target": target,
        "melee": {"sizes_mm": sizes or SIZES, "stock": stock, "wanted_mm": wanted},
        "rules": {**RULES, **rules},
        "symmetry": symmetry,
        "rows": rows,
    }
