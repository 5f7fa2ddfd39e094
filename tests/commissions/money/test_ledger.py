"""The ledger only grows, balances, and enters a thing once."""

import pytest
from django.db import DatabaseError, connection, transaction

from commissions.money import queries
from commissions.money.actions import post, post_receipt, reverse
from commissions.money.actions.posting import credit, debit
from commissions.money.models import Entry, Posting
from commissions.money.plans import parts_of
from commissions.record.errors import Refused


def test_an_entry_that_does_not_balance_is_refused_and_leaves_nothing(db):
    with pytest.raises(Refused, match="balance"):
        post(
            key="x",
            kind="test",
            currency="GBP",
            lines=[debit("bank", 100), credit("held", 99)],
            memo="",
            by_words="t",
        )
    assert Entry.objects.count() == 0


def test_the_same_receipt_is_entered_once(commission):
    first = post_receipt(
        commission=commission, minor=24000, currency="GBP", reference="B-1", by_words="Ottoline"
    )
    again = post_receipt(
        commission=commission, minor=24000, currency="GBP", reference="B-1", by_words="Ottoline"
    )
    assert first == again
    assert queries.held(commission=commission) == 24000
    assert queries.held_per_currency() == {"GBP": 24000}


@pytest.mark.parametrize("statement", ["UPDATE money_posting SET minor = 1", "DELETE FROM money_entry"])
def test_the_database_itself_refuses_to_change_the_ledger(commission, statement):
    post_receipt(commission=commission, minor=100, currency="GBP", reference="B-1", by_words="Ottoline")
    with (
        pytest.raises(DatabaseError, match="only grows"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)
    assert Posting.objects.count() == 2


def test_a_mistake_is_corrected_by_one_reversal(commission):
    entry = post_receipt(
        commission=commission, minor=100, currency="GBP", reference="B-1", by_words="Ottoline"
    )
    reverse(entry=entry, reason="typed twice", by_words="Ottoline")
    assert queries.held(commission=commission) == 0
    assert queries.settled(commission=commission) == 0
    reverse(entry=entry, reason="again", by_words="Ottoline")
    assert Entry.objects.filter(reverses=entry).count() == 1


@pytest.mark.parametrize(
    ("total", "plan", "parts"),
    [
        (754575, "40/30/30", [301830, 226373, 226372]),
        (448590, "40/30/30", [179436, 134577, 134577]),
        (548915, "50/50", [274458, 274457]),
        (100, "thirds", [33, 33, 34]),
    ],
)
def test_the_last_instalment_takes_the_remainder(total, plan, parts):
    assert [minor for _event, minor in parts_of(total_minor=total, plan=plan)] == parts
