"""The agreed halo fitted anew round a stone as it was measured: what changes, before anything is cut."""

from __future__ import annotations

import copy
from dataclasses import dataclass

from commissions.design import computing
from commissions.design.models import Revision
from gemcalc.errors import BadInput

SEAT_TOLERANCE_HMM = 5
"""A measured stone may differ from what the seat assumes by this much, 0.01 mm. Common practice, no source."""


ROUNDNESS_HMM = 15
"""Greatest less least diameter that a round seat still takes, 0.01 mm. Common practice, no source."""

DEEPER_HMM = 15
"""How much deeper than drawn a stone may be before the rail has to be looked at, 0.01 mm. Common practice, no source."""


def against_seat(
    *, revision: Revision, length_hmm: int, width_hmm: int, depth_hmm: int | None = None
) -> tuple[bool, str]:
    """Whether a stone is within tolerance of the seat of *revision*, and in words."""
    seat = revision.parameters["centre"]["outline"]
    across = seat.get("diameter_mm")
    more = []
    if across:
        off = abs(round(across * 100) - (length_hmm + width_hmm) / 2)
        if length_hmm - width_hmm > ROUNDNESS_HMM:
            more.append(f"it is out of round by {(length_hmm - width_hmm) / 100:.2f} mm")
    else:
        long, wide = _seat_hmm(revision)
        off = max(abs(long - length_hmm), abs(wide - width_hmm))
    drawn = round(revision.parameters["centre"]["depth_mm"] * 100)
    if depth_hmm is not None and depth_hmm - drawn > DEEPER_HMM:
        more.append(f"it is {(depth_hmm - drawn) / 100:.2f} mm deeper than drawn")
    if off <= SEAT_TOLERANCE_HMM and not more:
        return True, f"Within tolerance: {off / 100:.2f} mm from what the seat assumes."
    words = "; ".join([f"{off / 100:.2f} mm from what the seat assumes", *more])
    return False, f"Revision needed, approval void: {words}."


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


@dataclass(frozen=True, kw_only=True)
class Fitted:
    """A design computed anew round another stone; *problem* says why it could not be."""

    outputs: dict | None = None
    problem: str = ""


def fitted(*, revision: Revision | None, outline: dict, depth_hmm: int) -> Fitted:
    """
    Everything *revision* computes, with *outline* in its seat; nothing where there is no revision.

    The halo of one case is fitted once in a process (see design.computing).
    """
    if revision is None:
        return Fitted()
    wish = copy.deepcopy(revision.parameters)
    wish["centre"] |= {"outline": outline, "depth_mm": depth_hmm / 100}
    try:
        return Fitted(outputs=computing.outputs(wish))
    except BadInput as error:
        return Fitted(problem=str(error))


def refit(*, revision: Revision, outline: dict, depth_hmm: int) -> dict:
    """
    The halo of *revision* as agreed and as it comes out round *outline*; empty for a ring without a halo.

    What the engine cannot fit at all is said in ``problem``.
    """
    if not revision.outputs.get("layout"):
        return {}
    made = {"letter": revision.letter, "agreed": _figures(revision.outputs), "now": {"feasible": False}}
    found = fitted(revision=revision, outline=outline, depth_hmm=depth_hmm)
    if found.outputs:
        made["now"] = _figures(found.outputs)
    else:
        made["problem"] = found.problem
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
            1,
            {
                "name": "Per size",
                "agreed": counts_in_words(before["counts"]),
                "now": counts_in_words(after["counts"]),
            },
        )
    for row in shown:
        row["differs"] = row["agreed"] != row["now"]
    return shown


def counts_in_words(counts: dict) -> str:
    """Count per size, smallest first: ``6 × 1.20, 12 × 1.30``."""
    return ", ".join(f"{count} × {size}" for size, count in sorted(counts.items()))
