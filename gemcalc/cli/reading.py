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
        figure = float(str(value).replace(",", ".") if isinstance(value, str) else value)
    except (TypeError, ValueError, OverflowError):
        raise BadInput("must be a number", field=field) from None
    if not math.isfinite(figure):
        raise BadInput("must be a finite number", field=field)
    if figure < low or figure > high:
        raise OutOfRange(field=field, value=figure, low=low, high=high)
    return figure


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
