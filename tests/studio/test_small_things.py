"""Amounts, references, working days, the trail's chain, the guards."""

import datetime
from decimal import Decimal

import moneyed
import pytest
from django.db import DatabaseError, connection, transaction
from hypothesis import given
from hypothesis import strategies as st

from studio import amounts, clock, references
from studio.trail.actions import record
from studio.trail.models import Entry
from studio.trail.queries import first_break

# ISO 4217, table A.1: minor units of a few currencies with none, two and three decimals.
PRINTED = {"GBP": 2, "EUR": 2, "USD": 2, "JPY": 0, "KRW": 0, "ISK": 0, "KWD": 3, "BHD": 3, "TND": 3, "CHF": 2}


@pytest.mark.parametrize(("currency", "places"), PRINTED.items())
def test_a_currency_has_the_decimals_of_the_standard(currency, places):
    assert amounts.exponent(currency) == places


def test_an_unknown_currency_is_refused():
    with pytest.raises(ValueError, match="not a currency code"):
        amounts.exponent("XQX")


@given(st.integers(-(10**12), 10**12), st.sampled_from(sorted(PRINTED)))
def test_minor_units_come_back_from_decimals(minor, currency):
    assert (
        amounts.to_minor(amount=amounts.from_minor(minor=minor, currency=currency), currency=currency)
        == minor
    )


@pytest.mark.parametrize(
    ("typed", "currency", "minor"),
    [
        ("6,127.20", "GBP", 612720),
        ("6 127,20", "GBP", 612720),
        ("6127", "GBP", 612700),
        ("£6,000", "GBP", 600000),
        ("6.000", "EUR", 600000),
        ("1,5", "EUR", 150),
        ("13.524,30", "USD", 1352430),
        ("12,345,678", "JPY", 12345678),
        ("1.234", "KWD", 1234),
        ("-20", "GBP", -2000),
    ],
)
def test_amounts_are_read_as_people_type_them(typed, currency, minor):
    assert amounts.typed_to_minor(typed=typed, currency=currency) == minor


@pytest.mark.parametrize(
    ("typed", "currency"), [("about six", "GBP"), ("", "GBP"), ("1.234,567", "GBP"), ("1.5", "JPY")]
)
def test_an_amount_that_cannot_be_read_is_refused(typed, currency):
    with pytest.raises(ValueError):
        amounts.typed_to_minor(typed=typed, currency=currency)


def test_amounts_are_written_with_their_code_and_a_real_minus():
    assert (
        amounts.written(minor=612720, currency="GBP", locale="en-gb").replace("\u00a0", " ") == "GBP 6,127.20"
    )
    assert "−" in amounts.written(minor=-100, currency="GBP", locale="en-gb")
    assert "6.127,20" in amounts.written(minor=612720, currency="EUR", locale="de")
    assert amounts.written(minor=1500, currency="JPY", locale="en-gb").endswith("1,500")


def test_the_library_s_currencies_are_the_only_ones():
    assert moneyed.get_currency("GBP").numeric == "826"
    assert Decimal("0.01") == amounts.from_minor(minor=1, currency="GBP")


def test_a_reference_shows_every_single_slip():
    reference = references.new_reference()
    body, check = reference.replace("-", "")[:5], reference[-1]
    assert references.check_character(body) == check
    for place in range(5):
        for other in references.ALPHABET:
            if other != body[place]:
                slipped = body[:place] + other + body[place + 1 :]
                assert references.check_character(slipped) != check
    assert not set(references.ALPHABET) & set("0O1ILU")
    assert references.tidy(" p4v 8gb ") == "P4V-8GB"


@pytest.mark.parametrize(
    ("start", "days", "end"),
    [
        ("2026-09-11", 1, "2026-09-14"),
        ("2026-09-11", 5, "2026-09-18"),
        ("2026-09-12", 1, "2026-09-14"),
        ("2026-09-15", 0, "2026-09-15"),
    ],
)
def test_working_days_skip_the_weekend(start, days, end):
    date = datetime.date.fromisoformat
    assert clock.add_working_days(date(start), days) == date(end)


def test_what_comes_in_at_a_weekend_counts_from_monday():
    assert clock.working_day(datetime.date(2026, 9, 12)) == datetime.date(2026, 9, 14)
    assert clock.working_day(datetime.date(2026, 9, 14)) == datetime.date(2026, 9, 14)


def test_the_trail_is_a_chain_and_the_database_keeps_it(db):
    for number in range(3):
        record(actor="somebody", verb="did", subject="X", facts={"n": number})
    assert first_break() is None
    for statement in ("UPDATE trail_entry SET verb = 'forged'", "DELETE FROM trail_entry"):
        with (
            pytest.raises(DatabaseError, match="only grows"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(statement)
    assert Entry.objects.count() == 3


def test_a_forged_entry_is_found_at_its_link(db):
    for number in range(3):
        record(actor="somebody", verb="did", subject="X", facts={"n": number})
    second = Entry.objects.get(number=2)
    # As somebody would who owns the database and has taken its guards away.
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("DROP TRIGGER trail_entry_no_update")
        else:
            cursor.execute("DROP TRIGGER trail_entry_no_change ON trail_entry")
        cursor.execute("UPDATE trail_entry SET actor = 'somebody else' WHERE id = %s", [second.pk])
    assert first_break() == 2
