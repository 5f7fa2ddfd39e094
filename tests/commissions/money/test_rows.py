"""The number of queries does not grow with the rows."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from commissions.money import actions, queries
from commissions.money.actions.posting import credit, debit, post
from commissions.money.statements import Row
from commissions.record.actions import open_commission
from tests.cast import ring_client


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def fill(*, owner, count, start):
    for number in range(start, start + count):
        made = open_commission(
            client=ring_client(email=f"c{number}@client.example"), title="Ring", currency="GBP", person=owner
        )
        actions.post_receipt(
            commission=made, minor=1000, currency="GBP", reference=f"B-{number}", by_words="O"
        )
        actions.commit(
            commission=made, kind="stone", words="Stone", minor=1500, key=f"S-{number}", by_words="O"
        )
        actions.import_rows(
            rows=[
                Row(
                    key=f"k{number}",
                    currency="GBP",
                    on=made.opened_at.date(),
                    minor=5 + number % 2,
                    reference="x",
                    counterpart="y",
                )
            ],
            person=owner,
        )


@pytest.mark.parametrize("address", ["/studio/money/", "/studio/money/ledger/", "/studio/money/statements/"])
def test_lists_ask_the_same_with_one_row_and_with_thirty(owner, client, address):
    client.force_login(owner)
    fill(owner=owner, count=1, start=0)
    client.get(address)
    with CaptureQueriesContext(connection) as one:
        assert client.get(address).status_code == 200
    fill(owner=owner, count=29, start=1)
    with CaptureQueriesContext(connection) as thirty:
        assert client.get(address).status_code == 200
    assert len(thirty) == len(one)


def test_one_commission_asks_the_same_whatever_its_entries(owner, commission, client):
    client.force_login(owner)
    address = f"/studio/commissions/{commission.reference}/money/"
    actions.post_receipt(commission=commission, minor=10, currency="GBP", reference="A", by_words="O")
    client.get(address)
    with CaptureQueriesContext(connection) as one:
        client.get(address)
    for number in range(29):
        actions.post_receipt(
            commission=commission, minor=10, currency="GBP", reference=f"B{number}", by_words="O"
        )
    with CaptureQueriesContext(connection) as thirty:
        client.get(address)
    assert len(thirty) == len(one)


def test_the_running_balance_goes_on_from_page_to_page(db):
    for number in range(25):
        post(
            key=f"k{number}",
            kind="test",
            currency="GBP",
            memo="m",
            by_words="t",
            lines=[debit("bank", number + 1), credit("held", number + 1)],
        )
    held = next(row for row in queries.accounts() if row.code == "held")
    seen, after = [], None
    while True:
        page = queries.ledger_page(account=held, after=after, size=10)
        seen += [row.running for row in page.rows]
        after = page.after
        if after is None:
            break
    assert seen == [n * (n + 1) // 2 for n in range(25, 0, -1)]


def test_stock_becomes_cost_when_the_client_has_the_ring(commission, owner):
    actions.post_receipt(commission=commission, minor=5000, currency="GBP", reference="A", by_words="O")
    actions.commit(commission=commission, kind="stone", words="Stone", minor=3000, key="S", by_words="O")
    actions.recognise_at_handover(commission=commission, by_words="O")
    assert queries.stock(commission=commission) == {}
    assert actions.recognise_at_handover(commission=commission, by_words="O") is None
    actions.post_receipt(commission=commission, minor=7, currency="GBP", reference="late", by_words="O")
    actions.recognise_at_handover(commission=commission, by_words="O")
    assert queries.held(commission=commission) == 0
