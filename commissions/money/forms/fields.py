"""Fields that read figures as people type them."""

from __future__ import annotations

import datetime
from decimal import Decimal, InvalidOperation

from django import forms

from commissions.money.queries import first_open_day
from studio import clock


class Figure(forms.CharField):
    """A decimal figure; blanks, a currency sign and either decimal mark are read."""

    def __init__(self, *, places: int = 4, low: Decimal | None = None, **kwargs):
        self.places, self.low = places, low
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}))
        super().__init__(**kwargs)

    def clean(self, value):
        typed = super().clean(value)
        if typed in (None, ""):
            return None
        plain = typed.replace("−", "-").replace("\u00a0", "").replace(" ", "").replace("'", "")
        if "," in plain and "." in plain:
            plain = plain.replace("," if plain.rfind(".") > plain.rfind(",") else ".", "")
        elif plain.count(",") == 1 and len(plain) - plain.index(",") == 4:
            plain = plain.replace(",", "")  # 6,000 is six thousand
        plain = plain.replace(",", ".")
        try:
            figure = Decimal(plain)
        except InvalidOperation:
            raise forms.ValidationError("Write a figure, such as 6,127.20") from None
        if not figure.is_finite() or abs(figure) > Decimal(10) ** 9:
            raise forms.ValidationError("That figure is too large.")
        if -figure.as_tuple().exponent > self.places:
            raise forms.ValidationError(f"At most {self.places} decimals.")
        if self.low is not None and figure < self.low:
            raise forms.ValidationError(f"Not less than {self.low}.")
        return figure


def day_that_is_open(on: datetime.date) -> datetime.date:
    """
    A day that has come and whose month is open.

    Raises:
        ValidationError: it says which, and from which day on an entry can be made.
    """
    if on > clock.today():
        raise forms.ValidationError("That day has not come yet.")
    first = first_open_day(on=on)
    if first != on:
        raise forms.ValidationError(
            f"{on:%B %Y} is closed: nothing is entered into it any more. Give {first:%-d %B %Y} or a later "
            "day, and write the day it really was with the reference."
        )
    return on
