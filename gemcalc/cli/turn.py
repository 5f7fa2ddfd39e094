"""``python -m gemcalc turn``: marks and claws in, the turn that hides most out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from gemcalc.cli.reading import number
from gemcalc.covered import Claw, Mark
from gemcalc.errors import BadInput
from gemcalc.turn import MOST_CLAWS, MOST_MARKS, Plateau, best_turn

FAR = 36000.0


def _rows(data: Mapping[str, Any], field: str, *, most: int) -> Sequence[Mapping[str, Any]]:
    rows = data.get(field)
    if rows is None:
        raise BadInput(f"is needed: a list of {field}", field=field)
    if not isinstance(rows, list) or not all(isinstance(row, dict) for row in rows):
        raise BadInput(f"must be a list of objects, one for each of the {field}", field=field)
    if len(rows) > most:
        raise BadInput(f"has {len(rows)} entries: at most {most} can be weighed", field=field)
    return rows


def _placed(error: BadInput, *, field: str, place: int) -> BadInput:
    """The error at its list, saying which entry and which of its values is at fault."""
    return BadInput(f"entry {place + 1}: {error.field} {error.message}", field=field)


def _marks(data: Mapping[str, Any]) -> list[Mark]:
    marks = []
    for place, row in enumerate(_rows(data, "marks", most=MOST_MARKS)):
        try:
            marks.append(
                Mark(
                    r=number(row, "r", high=1),
                    angle_deg=number(row, "angle_deg", low=-FAR, high=FAR),
                    size=number(row, "size", low=1e-4, high=2),
                    severity=number(row, "severity", default=1.0),
                )
            )
        except BadInput as error:
            raise _placed(error, field="marks", place=place) from None
    return marks


def _claws(data: Mapping[str, Any]) -> list[Claw]:
    claws = []
    for place, row in enumerate(_rows(data, "claws", most=MOST_CLAWS)):
        try:
            claws.append(
                Claw(
                    angle_deg=number(row, "angle_deg", low=-FAR, high=FAR),
                    half_width_deg=number(row, "half_width_deg", low=1e-6, high=180),
                    inner_r=number(row, "inner_r", high=4),
                )
            )
        except BadInput as error:
            raise _placed(error, field="claws", place=place) from None
    return claws


def _plateau(plateau: Plateau) -> dict[str, Any]:
    return {
        "rotation_deg": plateau.rotation_deg,
        "range_deg": [plateau.from_deg, plateau.to_deg],
        "hidden": plateau.hidden,
    }


def turn(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    The turn of the stone that hides most of its marks.

    Raises:
        BadInput: a mark, a claw or the step cannot be used, naming which.
    """
    marks, claws = _marks(data), _claws(data)
    step = number(data, "step_deg", low=0.1, high=360, default=None)
    found = best_turn(marks=marks, claws=claws, step_deg=step)
    return {
        "rotation_deg": found.best.rotation_deg,
        "hidden": found.best.hidden,
        "hidden_now": found.hidden_now,
        "best_range_deg": [found.best.from_deg, found.best.to_deg],
        "exposed": found.exposed,
        "shares": found.shares.tolist(),
        "worst_within_1_deg": found.worst_near,
        "alternatives": [_plateau(one) for one in found.alternatives()],
        "unproved": found.unproved,
        "sources": ["exact-geometry", "practice"],
    }
