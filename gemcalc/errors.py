"""The two ways an input can be wrong, each naming the field at fault in the user's words."""

from __future__ import annotations

import math


class BadInput(ValueError):
    """
    An input that cannot be used.

    Args:
        message: What is wrong and what would be right, in the user's words.
        field: Name of the parameter at fault with its unit, or None where no single one is.
    """

    def __init__(self, message: str, *, field: str | None = None) -> None:
        super().__init__(message)
        self.message = message
        self.field = field


class OutOfRange(BadInput):
    """A number outside the range for which a figure means anything."""

    def __init__(self, *, field: str, value: float, low: float, high: float) -> None:
        self.value = value
        self.low = low
        self.high = high
        super().__init__(f"must be from {low:g} to {high:g}, and {value:g} is not", field=field)


def in_range(*, field: str, value: float, low: float, high: float) -> float:
    """
    Return *value* unchanged when it lies in [low, high].

    Args:
        field: Name of the parameter, with its unit.
        value: The number to look at, in that unit.
        low: Least value for which the figure means anything.
        high: Greatest value.

    Raises:
        OutOfRange: *value* is outside, or is not a finite number.
    """
    if not math.isfinite(value) or value < low or value > high:
        raise OutOfRange(field=field, value=value, low=low, high=high)
    return value
