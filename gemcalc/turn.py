"""
Turning the stone so that the claws hide its marks.

As the stone turns, what the claws cover of its marks is a sum of ramps (:mod:`gemcalc.covered`).
Between ramps the share is exactly constant, so plateaus are known with their exact ends;
a peak between them is found by :mod:`gemcalc.turn_search`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from gemcalc.covered import FULL, Claw, Floats, Mark, Ramps, ramps
from gemcalc.errors import BadInput, in_range
from gemcalc.turn_search import EVEN, highest_turn

MOST_MARKS = 2000
MOST_CLAWS = 64
WHOLLY = 0.995
"""A mark of which this share is covered counts as hidden: the rest is finer than a mark can be plotted."""

WITHIN_DEG = 1.0
"""How exactly a stone can be turned in its seat by hand. Source: practice."""


@dataclass(frozen=True, kw_only=True)
class Plateau:
    """A stretch of turning over which the hidden share stays the same, degrees; the turn is its middle."""

    rotation_deg: float
    from_deg: float
    to_deg: float
    hidden: float

    @property
    def width_deg(self) -> float:
        """How far the stone may be turned without showing more."""
        return self.to_deg - self.from_deg


@dataclass(frozen=True, kw_only=True)
class Turn:
    """
    How to turn a stone so that the claws hide most of its marks.

    Args:
        best: The best turn; its ends are equal where the best is a peak and not a plateau.
        hidden_now: Hidden share as the stone lies.
        unproved: No other turn hides more than this above ``best.hidden``.
        passings: The ramps, for further questions.
        plateaus: All plateaus, from (rad), to (rad), hidden.
    """

    best: Plateau
    hidden_now: float
    unproved: float
    passings: Ramps
    plateaus: Floats

    @cached_property
    def shares(self) -> Floats:
        """Covered share of every mark at the best turn, 0 to 1."""
        return self.passings.covered(np.radians(self.best.rotation_deg))

    @property
    def exposed(self) -> list[int]:
        """Positions of the marks that are not wholly hidden at the best turn."""
        return np.flatnonzero(self.shares < WHOLLY).tolist()

    @cached_property
    def worst_near(self) -> float:
        """Least hidden share within ±1° of the best turn, to about 1 in 10,000."""
        near = np.radians(self.best.rotation_deg + np.linspace(-WITHIN_DEG, WITHIN_DEG, 41))
        return float(self.passings.hidden(near).min())

    def alternatives(self, *, within: float = 0.05, most: int = 24) -> list[Plateau]:
        """
        Plateaus that hide at least (1 − *within*) of the best,
        the best and then the widest first, *most* of them.
        """
        good = self.plateaus[self.plateaus[:, 2] >= (1 - within) * self.best.hidden - EVEN]
        order = np.lexsort((good[:, 0], good[:, 0] - good[:, 1], -np.round(good[:, 2], 6)))[:most]
        return [_plateau(low, high, share) for low, high, share in good[order].tolist()]


def _plateau(low: float, high: float, hidden: float) -> Plateau:
    """The stretch in degrees; its middle in [0, 360), its ends round it."""
    half = np.degrees(high - low) / 2
    middle = float(np.degrees((low + high) / 2) % 360)
    middle = 0.0 if middle > 360 - 1e-9 else middle
    return Plateau(
        rotation_deg=middle, from_deg=middle - half, to_deg=middle + half, hidden=min(max(hidden, 0.0), 1.0)
    )


def _plateaus(passings: Ramps) -> Floats:
    """
    Every stretch in which nothing passes an edge: from, to (rad), hidden share; one over 0 is not cut there.
    """
    offset = float(passings.base @ passings.weights)
    if not len(passings.at):
        return np.array([[-np.pi, np.pi, offset]])
    starts, ends = passings.at - passings.reach, passings.at + passings.reach
    order = np.argsort(starts)
    done = np.maximum.accumulate(ends[order])
    low = np.concatenate(([0.0], np.maximum(done, 0.0)))
    high = np.concatenate((np.minimum(starts[order], FULL), [FULL]))
    free = high - low > 1e-9
    low, high = low[free], high[free]
    rise = passings.sign * passings.far * passings.weights[passings.mark]
    by_end = np.argsort(ends)
    total = np.concatenate(([0.0], np.cumsum(rise[by_end])))
    hidden = offset + total[np.searchsorted(ends[by_end], low + 1e-12, side="right")]
    table = np.column_stack((low, high, hidden))
    if len(table) > 1 and table[0, 0] == 0 and table[-1, 1] == FULL:
        table[0, 0] = table[-1, 0] - FULL
        table = table[:-1]
    return table


def _check(marks: Sequence[Mark], claws: Sequence[Claw]) -> None:
    if not marks:
        raise BadInput("at least one mark is needed", field="marks")
    if len(marks) > MOST_MARKS:
        raise BadInput(f"has {len(marks)} marks: at most {MOST_MARKS} can be weighed", field="marks")
    if not claws:
        raise BadInput("at least one claw is needed", field="claws")
    if len(claws) > MOST_CLAWS:
        raise BadInput(f"has {len(claws)} claws: at most {MOST_CLAWS} can be weighed", field="claws")
    for mark in marks:
        in_range(field="marks.r", value=mark.r, low=0, high=1)
        in_range(field="marks.angle_deg", value=mark.angle_deg, low=-36000, high=36000)
        in_range(field="marks.size", value=mark.size, low=1e-4, high=2)
        in_range(field="marks.severity", value=mark.severity, low=0, high=1e6)
    if not any(mark.severity > 0 for mark in marks):
        raise BadInput("at least one mark needs a severity above 0", field="marks")
    for claw in claws:
        in_range(field="claws.angle_deg", value=claw.angle_deg, low=-36000, high=36000)
        in_range(field="claws.half_width_deg", value=claw.half_width_deg, low=1e-6, high=180)
        in_range(field="claws.inner_r", value=claw.inner_r, low=0, high=4)


def best_turn(*, marks: Sequence[Mark], claws: Sequence[Claw], step_deg: float | None = None) -> Turn:
    """
    The turn that hides most of a stone's marks under its claws.

    Covered shares of area are exact; so is the best turn,
    to 1e-9 of the share except for what ``unproved`` says.
    Of equal plateaus the widest is taken, and its middle.

    Args:
        marks: The marks as the stone lies, at most 2000.
        claws: The claws, at most 64; where they overlap they cover once.
        step_deg: The stone can be turned only by multiples of this (45 for a brilliant
            whose main facets shall keep to the claws), 0.1 to 360; None where it can be turned freely.

    Returns:
        The best turn, degrees anticlockwise in [0, 360).

    Raises:
        BadInput: no marks or claws, or too many.
        OutOfRange: a mark or a claw is not on a stone, or the step is not from 0.1 to 360.

    Source:
        exact-geometry

    >>> claw = Claw(angle_deg=90, half_width_deg=10, inner_r=0.8)
    >>> turn = best_turn(marks=[Mark(r=0.9, angle_deg=60, size=0.04)], claws=[claw])
    >>> round(turn.best.rotation_deg, 6), turn.best.hidden, turn.hidden_now
    (30.0, 1.0, 0.0)
    """
    _check(marks, claws)
    passings = ramps(marks, claws)
    plateaus = _plateaus(passings)
    now = float(passings.hidden(np.zeros(1))[0])
    if step_deg is not None:
        in_range(field="step_deg", value=step_deg, low=0.1, high=360)
        return Turn(
            best=_best_step(passings, plateaus, step_deg),
            hidden_now=min(max(now, 0.0), 1.0),
            unproved=0.0,
            passings=passings,
            plateaus=plateaus,
        )
    highest = float(plateaus[:, 2].max(initial=-1.0))
    at, share, unproved = highest_turn(passings, highest) if len(passings.at) else (-1.0, highest, 0.0)
    if at < 0:
        equal = plateaus[plateaus[:, 2] >= highest - EVEN]
        low, high, share = equal[int(np.argmax(np.round(equal[:, 1] - equal[:, 0], 9)))].tolist()
        best = _plateau(low, high, share)
    else:
        best = _plateau(at, at, share)
    return Turn(
        best=best, hidden_now=min(max(now, 0.0), 1.0), unproved=unproved, passings=passings, plateaus=plateaus
    )


def _best_step(passings: Ramps, plateaus: Floats, step_deg: float) -> Plateau:
    """
    The best of the turns that are multiples of the step; of equal ones the one farthest from showing more.
    """
    turns = np.arange(0.0, 360.0 - 1e-9, step_deg)
    hidden = passings.hidden(np.radians(turns))
    equal = np.flatnonzero(hidden >= hidden.max() - EVEN)
    choices = []
    for place in equal.tolist():
        turn = np.radians(turns[place])
        ends = [
            (low - turn + lap, high - turn + lap)
            for low, high, _ in plateaus.tolist()
            for lap in (-FULL, 0.0, FULL)
            if low + lap <= turn <= high + lap
        ]
        low, high = ends[0] if ends else (0.0, 0.0)
        choices.append((min(-low, high), -place, low, high))
    _, place, low, high = max(choices)
    turn_deg = float(turns[-place])
    return Plateau(
        rotation_deg=turn_deg,
        from_deg=turn_deg + float(np.degrees(low)),
        to_deg=turn_deg + float(np.degrees(high)),
        hidden=float(np.clip(hidden[-place], 0.0, 1.0)),
    )
