"""Template words of the money room."""

from __future__ import annotations

from decimal import Decimal

from babel.numbers import format_decimal
from django import template
from django.utils.translation import get_language

from studio.amounts import from_minor, written

register = template.Library()


def _locale() -> str:
    language, _, territory = (get_language() or "en-gb").replace("-", "_").partition("_")
    return f"{language}_{territory.upper()}" if territory else language


@register.filter
def unit_price(unit_minor: Decimal, currency: str) -> str:
    """The price of one with as many decimals as it has, at most four, so that price times quantity is the sum."""
    return format_decimal(
        from_minor(minor=unit_minor, currency=currency), format="#,##0.00##", locale=_locale()
    )


@register.filter
def quantity(figure: Decimal) -> str:
    """A quantity without noughts at its end."""
    return format_decimal(figure, format="#,##0.####", locale=_locale())


@register.filter
def in_second(minor: int, quote) -> str:
    """A sum in the quotation's second currency, at its frozen rate; empty where it has none."""
    found = quote.in_second(minor)
    return "" if found is None else written(minor=found, currency=quote.second_currency)


@register.filter
def negated(minor: int) -> int:
    """The sum with its sign turned: a credit as a positive figure."""
    return -minor
