"""Countries and currencies that a brief may name, in the reader's language."""

from __future__ import annotations

import datetime
import zoneinfo
from functools import cache

from babel import Locale
from babel.core import get_global
from babel.numbers import get_currency_name
from django.utils.translation import get_language

# Codes of the Unicode locale data that ISO 3166-1 does not assign to a country.
_NOT_COUNTRIES = {"AC", "CP", "CQ", "DG", "EA", "EU", "EZ", "IC", "QO", "TA", "UN", "XA", "XB", "XK", "ZZ"}

CURRENCIES = [
    "AUD",
    "BRL",
    "CAD",
    "CHF",
    "CZK",
    "DKK",
    "EUR",
    "GBP",
    "HKD",
    "ILS",
    "INR",
    "JPY",
    "KRW",
    "MXN",
    "NOK",
    "NZD",
    "PLN",
    "SEK",
    "SGD",
    "USD",
    "ZAR",
]


def _locale() -> str:
    return (get_language() or "en").partition("-")[0]


@cache
def _countries(locale: str) -> dict[str, str]:
    names = {
        code: name
        for code, name in Locale.parse(locale).territories.items()
        if len(code) == 2 and code.isalpha() and code not in _NOT_COUNTRIES
    }
    return dict(sorted(names.items(), key=lambda row: row[1].casefold()))


def country_choices(*, unknown: str = "") -> list[tuple[str, str]]:
    """ISO 3166 countries by name, after an empty row; *unknown* adds a last row ``XX`` with these words."""
    rows = [("", ""), *_countries(_locale()).items()]
    return [*rows, ("XX", unknown)] if unknown else rows


def country_name(code: str) -> str:
    """Name of a country in the reader's language."""
    return _countries(_locale()).get(code, "")


def currency_choices() -> list[tuple[str, str]]:
    """ISO 4217 currencies with code and name, after an empty row."""
    return [
        ("", ""),
        *[(code, f"{code} – {get_currency_name(code, locale=_locale())}") for code in CURRENCIES],
    ]


def day_words(iso: str) -> str:
    """A date written out, such as *Saturday 19 December 2026*."""
    from django.utils.formats import date_format

    return date_format(datetime.date.fromisoformat(iso), "l j F Y") if iso else ""


@cache
def zones_of(country: str) -> list[str]:
    """Time zones of an ISO 3166 country by the Unicode locale data, in alphabetical order."""
    known = zoneinfo.available_timezones()
    return sorted(
        zone for zone, place in get_global("zone_territories").items() if place == country and zone in known
    )
