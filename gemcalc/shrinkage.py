"""Shrinkage from mould and wax to metal: how much bigger the pattern must be."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from gemcalc.errors import BadInput, in_range

WAX_LINEAR_PCT = 2.5
"""Linear shrinkage of injected wax, percent. Source: gold-shrinkage."""

METAL_LINEAR_PCT = 1.0
"""
Linear shrinkage of the metal, percent; carved or printed patterns have this step only.

Source: gold-shrinkage.
"""


@dataclass(frozen=True, kw_only=True)
class Shrinkage:
    """
    Shrinkage of a whole chain of steps.

    Args:
        linear_pct: Loss of length from the first pattern to the casting, percent.
        volume_pct: Loss of volume, percent.
        enlarge_factor: Factor on every length of the pattern so that the casting has the wanted size.
    """

    linear_pct: float
    volume_pct: float
    enlarge_factor: float


def shrinkage(*, linear_pct_steps: Sequence[float]) -> Shrinkage:
    """
    Shrinkage in percent of several steps, one after the other.

    Formula: linear = 1 - product(1 - step); volume = 1 - product(1 - step)^3.

    Args:
        linear_pct_steps: Linear shrinkage of each step, percent, from 0 to 10 each, at most ten steps.

    Returns:
        A :class:`Shrinkage`. Every caster's figures differ: cast a trial before a ring must fit another.

    Raises:
        OutOfRange: a step is outside its range.
        BadInput: there are more than ten steps.

    Source:
        gold-shrinkage

    >>> shrinkage(linear_pct_steps=[2.5, 1.0]).linear_pct
    3.475
    """
    if len(linear_pct_steps) > 10:
        raise BadInput("at most ten steps", field="linear_pct_steps")
    left = 1.0
    for step in linear_pct_steps:
        left *= 1 - in_range(field="linear_pct_steps", value=step, low=0, high=10) / 100
    return Shrinkage(linear_pct=100 * (1 - left), volume_pct=100 * (1 - left**3), enlarge_factor=1 / left)
