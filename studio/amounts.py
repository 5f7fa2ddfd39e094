"""Money as integer minor units with its ISO 4217 code; Decimal only at the edge."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal, InvalidOperation
from functools import cache

from babel.numbers import format_currency
from django.utils.translation import get_language
from moneyed import CurrencyDoesNotExist, get_currency


@cache
def exponent(currency: str) -> int:
    """
    Number of decimals of an ISO 4217 currency: 2 for GBP, 0 for JPY, 3 for KWD.

    Raises:
        ValueError: *currency* is not an ISO 4217 code.
    """
    try:
        sub_unit = get_currency(currency).sub_unit
    except CurrencyDoesNotExist:
        raise ValueError(f"{currency!r} is not a currency code") from None
    return max(0, len(str(int(sub_unit))) - 1)


def from_minor(*, minor: int, currency: str) -> Decimal:
    """Decimal amount of *minor* units."""
    return Decimal(minor).scaleb(-exponent(currency))


def to_minor(*, amount: Decimal, currency: str) -> int:
    """Minor units of a decimal amount, half up: the one place where an amount is rounded."""
    return int(amount.scaleb(exponent(currency)).quantize(Decimal(1), rounding=ROUND_HALF_UP))


def typed_to_minor(*, typed: str, currency: str) -> int:
    """
    Minor units of an amount as a person types it: ``6,127.20``, ``6 127,20``, ``£6127``.

    Raises:
        ValueError: it cannot be read as an amount, or has more decimals than the currency.
    """
    plain = "".join(character for character in typed if character.isdigit() or character in ",.-")
    places = exponent(currency)
    for mark in ",.":
        other = "." if mark == "," else ","
        if plain.count(mark) == 1 and plain.rfind(mark) > plain.rfind(other):
            tail = len(plain) - plain.rfind(mark) - 1
            thousands = tail == 3 and places != 3  # 6,000 is six thousand
            plain = plain.replace(mark, "") if thousands else plain.replace(other, "").replace(mark, ".")
            break
    else:
        plain = plain.replace(",", "").replace(".", "")
    try:
        amount = Decimal(plain)
    except InvalidOperation:
        raise ValueError("write the amount in figures, such as 6,127.20") from None
    if -amount.as_tuple().exponent > places:
        raise ValueError(f"{currency} has {places} decimals")
    return to_minor(amount=amount, currency=currency)


def written(*, minor: int, currency: str, locale: str | None = None) -> str:
    """The amount in the reader's format with its currency code, such as ``GBP 6,127.20``."""
    locale = (locale or get_language() or "en-gb").replace("-", "_")
    language, _, territory = locale.partition("_")
    locale = f"{language}_{territory.upper()}" if territory else language
    text = format_currency(
        from_minor(minor=minor, currency=currency),
        currency,
        format="¤¤ #,##0.00",
        locale=locale,
        currency_digits=True,
    )
    return text.replace("-", "−")
