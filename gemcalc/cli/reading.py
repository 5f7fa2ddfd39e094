"""Reading the fields of a JSON object with errors that name the field."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from gemcalc.errors import BadInput, OutOfRange

MISSING = object()


def number(
    data: Mapping[str, Any], field: str, *, low: float = 0.0, high: float = 1e6, default: Any = MISSING
) -> Any:
    """
    Finite number under *field*, from *low* to *high*; a numeric string is read too.

    Raises:
        BadInput: the field is missing (and has no default) or is not a number.
        OutOfRange: the number lies outside the range.
    """
    value = data.get(field)
    if value is None or value == "":
        if default is MISSING:
            raise BadInput("is needed", field=field)
        return default
    if isinstance(value, bool):
        raise BadInput("must be a number", field=field)
    try:
        figure = float(_digits(value) if isinstance(value, str) else value)
    except (TypeError, ValueError, OverflowError):
        raise BadInput("must be a number", field=field) from None
    if not math.isfinite(figure):
        raise BadInput("must be a finite number", field=field)
    if figure < low or figure > high:
        raise OutOfRange(field=field, value=figure, low=low, high=high)
    return figure


def _digits(typed: str) -> str:
    """A number as typed, with a decimal point; Python's own underscores and long texts are not numbers."""
    if len(typed) > 60 or "_" in typed or not typed.isascii():
        raise ValueError
    return typed.replace(",", ".")


def text(data: Mapping[str, Any], field: str, *, default: Any = MISSING, longest: int = 60) -> Any:
    """
    Short text under *field*; a number is read as its digits.

    Raises:
        BadInput: missing without a default, not text, or too long.
    """
    value = data.get(field)
    if value is None or value == "":
        if default is MISSING:
            raise BadInput("is needed", field=field)
        return default
    if isinstance(value, int | float) and not isinstance(value, bool):
        try:
            value = str(value)
        except ValueError:
            raise BadInput("has too many digits", field=field) from None
    if not isinstance(value, str):
        raise BadInput("must be text", field=field)
    if len(value) > longest:
        raise BadInput(f"must be at most {longest} characters", field=field)
    return value


def given(data: Mapping[str, Any], field: str) -> bool:
    """Whether *field* holds anything at all."""
    return data.get(field) not in (None, "")


def word(data: Mapping[str, Any], field: str, *, choices: Sequence[str], default: Any = MISSING) -> Any:
    """
    One of *choices* under *field*.

    Raises:
        BadInput: missing without a default, or none of the choices.
    """
    value = data.get(field)
    if value is None or value == "":
        if default is MISSING:
            raise BadInput(f"is needed: one of {', '.join(choices)}", field=field)
        return default
    if not isinstance(value, str) or value not in choices:
        raise BadInput(f"must be one of {', '.join(choices)}", field=field)
    return value
