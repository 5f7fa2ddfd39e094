"""The agreed halo fitted anew round a stone as it was measured: what changes, before anything is cut."""

from __future__ import annotations

import copy

from commissions.design import computing
from commissions.design.models import Revision
from gemcalc.errors import BadInput

SEAT_TOLERANCE_HMM = 5
"""A measured stone may differ from what the seat assumes by this much, 0.01 mm. Common practice, no source."""


def against_seat(*, revision: Revision, length_hmm: int, width_hmm: int) -> tuple[bool, str]:
    """Whether a measured stone is within tolerance of the seat of *revision*, and in words."""
    seat = revision.parameters["centre"]["outline"]
    across = seat.get("diameter_mm")
    if across:
        off = abs(round(across * 100) - (length_hmm + width_hmm) / 2)
    else:
        long, wide = _seat_hmm(revision)
        off = max(abs(long - length_hmm), abs(wide - width_hmm))
    if off <= SEAT_TOLERANCE_HMM:
        return True, f"Within tolerance: {off / 100:.2f} mm from what the seat assumes."
    return False, f"Revision needed, approval void: {off / 100:.2f} mm from what the seat assumes."


def _seat_hmm(revision: Revision) -> tuple[int, int]:
    """Length and width the seat assumes, 0.01 mm; a scanned outline is as large as its points reach."""
    seat = revision.parameters["centre"]["outline"]
    if "points_mm" in seat:
        xs, ys = zip(*seat["points_mm"], strict=True)
        return round((max(ys) - min(ys)) * 100), round((max(xs) - min(xs)) * 100)
    return round(seat["length_mm"] * 100), round(seat["width_mm"] * 100)


def _figures(outputs: dict) -> dict:
    layout = outputs.get("layout")
    if not layout or not layout["feasible"]:
        return {"feasible": not layout}
    figures = layout["figures"]
    return {
        "feasible": True,
        "stones": figures["stones"],
        "counts": figures["counts"],
        "gap_least_mm": figures["gap_least_mm"],
        "gap_worst_mm": figures["gap_worst_mm"],
        "clearance_mean_mm": figures["clearance_mean_mm"],
        "width_mm": figures["width_mm"],
        "length_mm": figures["length_mm"],
        "weight_ct": figures["weight_ct"],
    }


def refit(*, revision: Revision, outline: dict, depth_hmm: int) -> dict:
    """
    The halo of *revision* as agreed and as it comes out round *outline*; empty for a ring without a halo.

    What the engine cannot fit at all is said in ``problem``.
    """
    if not revision.outputs.get("layout"):
        return {}
    wish = copy.deepcopy(revision.parameters)
    wish["centre"] |= {"outline": outline, "depth_mm": depth_hmm / 100}
    made = {"letter": revision.letter, "agreed": _figures(revision.outputs), "now": {"feasible": False}}
    try:
        made["now"] = _figures(computing.outputs(wish))
    except BadInput as error:
        made["problem"] = str(error)
    return made


ROWS = (
    ("Halo stones", "stones", "{:d}"),
    ("Least gap, mm", "gap_least_mm", "{:.3f}"),
    ("Greatest gap, mm", "gap_worst_mm", "{:.3f}"),
    ("Clearance to the centre, mm", "clearance_mean_mm", "{:.3f}"),
    ("Width over all, mm", "width_mm", "{:.2f}"),
    ("Length over all, mm", "length_mm", "{:.2f}"),
    ("Halo weight, ct", "weight_ct", "{:.3f}"),
)


def rows(made: dict) -> list[dict]:
    """The two fits side by side for a table: name, agreed, now, whether they differ as shown."""
    if not made:
        return []
    before, after = made["agreed"], made["now"]
    shown = [
        {"name": name, "agreed": form.format(before[key]), "now": form.format(after[key])}
        for name, key, form in ROWS
        if key in before and key in after
    ]
    if before.get("counts") and after.get("counts"):
        shown.insert(
            1, {"name": "Per size", "agreed": _counts(before["counts"]), "now": _counts(after["counts"])}
        )
    for row in shown:
        row["differs"] = row["agreed"] != row["now"]
    return shown


def _counts(counts: dict) -> str:
    return ", ".join(f"{count} × {size}" for size, count in sorted(counts.items()))
