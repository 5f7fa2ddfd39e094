"""The number of queries does not grow with the rows."""

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.money import actions, queries
from commissions.money.actions.posting import credit, debit, post
from commissions.money.statements import Row
from commissions.record.actions import open_commission
from studio import clock
from tests.cast import ring_client
from tests.commissions.money.helpers import agreed_price, sign_in


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


def grow(*, commission, owner, count, start):
    """More of everything that a list of one commission or of the studio's tables shows."""
    from commissions.money.models import ChangeNote, Quote, TaxCode

    quote = queries.accepted_quote(commission=commission)
    for number in range(start, start + count):
        actions.post_receipt(
            commission=commission, minor=10 + number, currency="GBP", reference=f"g{number}", by_words="O"
        )
        actions.commit(
            commission=commission, kind="stone", words="Stone", minor=15, key=f"g{number}", by_words="O"
        )
        ChangeNote.objects.create(
            commission=commission,
            quote=quote,
            number=number + 1,
            what="x",
            why="y",
            asked_by="us",
            net_minor=0,
            status="approved",
            made_by=owner,
            sent_at=clock.now(),
            answered_at=clock.now(),
        )
        Quote.objects.create(
            commission=commission,
            version=number + 10,
            currency="GBP",
            status="replaced",
            made_by=owner,
            made_at=clock.now(),
        )
        TaxCode.objects.create(code=f"T{number}", words="x", rate=1, source="s", checked_on=clock.today())
        actions.keep_rule(sale="handover", tax="payment", why=f"letter {number}", person=owner)


def test_every_other_list_asks_the_same_with_one_row_and_with_thirty(commission, owner, joachim, client):
    agreed_price(commission=commission, owner=owner)
    theirs = Browser()
    sign_in(theirs, joachim.access, stepped_up=True)
    client.force_login(owner)
    piece = f"/studio/commissions/{commission.reference}/money/"
    lists = [
        (client, f"{piece}changes/"),
        (client, f"{piece}cancellation/"),
        (client, piece),
        (client, "/studio/money/taxes/"),
        (client, "/studio/money/rule/"),
        (client, "/studio/money/bank/"),
        (theirs, f"/yours/{commission.reference}/money/"),
        (theirs, f"/yours/{commission.reference}/money/pay/"),
    ]

    def asked():
        found = {}
        for browser, address in lists:
            browser.get(address)
            with CaptureQueriesContext(connection) as counted:
                assert browser.get(address).status_code == 200, address
            found[address] = len(counted)
        return found

    grow(commission=commission, owner=owner, count=1, start=0)
    one = asked()
    grow(commission=commission, owner=owner, count=29, start=1)
    assert asked() == one


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
