"""The agreed halo fitted anew round a stone as it was measured: what changes, before anything is cut."""

from __future__ import annotations

import copy
import json
from dataclasses import dataclass
from functools import lru_cache

from commissions.design import computing
from commissions.design.models import Revision
from gemcalc.errors import BadInput
from gemcalc.halo.case import read_case
from gemcalc.halo.fit import fit

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


def _figures(layout: dict) -> dict:
    if not layout["feasible"]:
        return {"feasible": False}
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
    """The halo of a design, fitted anew round another stone; *problem* says why it could not be."""

    layout: dict | None = None
    problem: str = ""


@lru_cache(maxsize=128)
def _halo(case: str) -> str:
    # What is near a halo is looked for when a revision is drawn; here it would double the time.
    return json.dumps(fit(read_case(json.loads(case)), with_alternatives=False))


def fitted(*, revision: Revision | None, outline: dict) -> Fitted:
    """
    The halo of *revision* with *outline* in its seat: the one a revision drawn to that stone would have.

    Nothing where there is no revision or no halo. The halo of one case is fitted once in a process.
    """
    wish = copy.deepcopy(revision.parameters) if revision is not None else {}
    if not wish.get("halo"):
        return Fitted()
    wish["centre"] |= {"outline": outline}
    try:
        return Fitted(layout=json.loads(_halo(json.dumps(computing.halo_case(wish), sort_keys=True))))
    except BadInput as error:
        return Fitted(problem=str(error))


def refit(*, revision: Revision, outline: dict) -> dict:
    """
    The halo of *revision* as agreed and as it comes out round *outline*; empty for a ring without a halo.

    What the engine cannot fit at all is said in ``problem``.
    """
    if not revision.outputs.get("layout"):
        return {}
    agreed = _figures(revision.outputs["layout"])
    made = {"letter": revision.letter, "agreed": agreed, "now": {"feasible": False}}
    found = fitted(revision=revision, outline=outline)
    if found.layout:
        made["now"] = _figures(found.layout)
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
