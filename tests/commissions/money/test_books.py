"""Closed months stay closed; the rule by which sales and their tax are booked holds from then on."""

import datetime

import pytest
from django.db import DatabaseError, connection, transaction

from commissions.money import actions, queries
from commissions.money.cancellation import statement
from commissions.money.lines import NewLine
from commissions.money.models import BookRule, Entry, Period
from commissions.record.actions import withdraw
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio import clock
from tests.commissions.money.helpers import agreed_price


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def last_month():
    return clock.today().replace(day=1) - datetime.timedelta(days=1)


def receive(commission, reference="B", minor=1000, **more):
    return actions.post_receipt(
        commission=commission, minor=minor, currency="GBP", reference=reference, by_words="O", **more
    )


def close(owner, on):
    return actions.close_period(year=on.year, month=on.month, person=owner)


def test_what_comes_late_stands_in_the_open_month_with_its_own_day(commission, owner):
    close(owner, last_month())
    entry = receive(commission, on=last_month())
    assert (entry.on, entry.meant_on) == (clock.today().replace(day=1), last_month())
    assert queries.late_entries() == [entry]
    assert receive(commission, reference="C").meant_on is None


@pytest.mark.parametrize("statement", ["DELETE FROM money_period", "UPDATE money_period SET month = 1"])
def test_a_closed_month_is_not_opened_again(owner, statement):
    close(owner, last_month())
    with (
        pytest.raises(DatabaseError, match="only grows"),
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(statement)
    assert Period.objects.count() == 1


def test_the_database_itself_refuses_an_entry_in_a_closed_month(owner):
    close(owner, last_month())
    row = {"kind": "x", "memo": "m", "by_words": "o", "at": clock.now()}
    with pytest.raises(DatabaseError, match="month that is closed"), transaction.atomic():
        Entry.objects.create(key="a", on=last_month(), **row)
    Entry.objects.create(key="b", on=clock.today(), **row)


def test_a_mistake_in_a_closed_month_is_turned_round_in_the_open_one(commission, owner):
    entry = receive(commission, on=last_month())
    close(owner, last_month())
    turned = actions.reverse(entry=entry, reason="typed twice", by_words="O")
    assert entry.on == last_month() and turned.on == clock.today()
    assert queries.held(commission=commission) == 0


def test_the_page_of_months(commission, owner, jeweller, client):
    receive(commission, on=last_month())
    client.force_login(jeweller)
    assert client.get("/studio/money/months/").status_code == 403
    client.force_login(owner)
    page = client.get("/studio/money/months/")
    assert [row.entries for row in page.context["months"]] == [1]
    typed = {"month": f"{last_month():%Y-%m}"}
    refused = client.post("/studio/money/months/", typed)
    assert refused.status_code == 422
    assert "a closed month stays closed" in refused.content.decode()
    assert not Period.objects.exists()
    assert client.post("/studio/money/months/", {**typed, "sure": "on"}).status_code == 302
    assert "Ottoline Brackwater" in client.get("/studio/money/months/").content.decode()
    this_month = {"month": f"{clock.today():%Y-%m}", "sure": "on"}
    assert client.post("/studio/money/months/", this_month).status_code == 422

    day = last_month()
    answer = client.post(
        f"/studio/commissions/{commission.reference}/money/receipt/",
        {
            "minor": "10.00",
            "reference": "late",
            "on_day": str(day.day),
            "on_month": str(day.month),
            "on_year": str(day.year),
        },
    )
    assert answer.status_code == 422
    words = answer.content.decode()
    assert "is closed: nothing is entered into it any more" in words
    assert 'value="late"' in words


def test_the_months_ask_the_same_whatever_their_number(commission, owner, client):
    from django.test.utils import CaptureQueriesContext

    client.force_login(owner)

    def fill(numbers):
        for number in numbers:
            on = datetime.date(2024, 1, 1) + datetime.timedelta(days=30 * number)
            receive(commission, reference=f"m{number}", on=on)
            close(owner, on)
            receive(commission, reference=f"late{number}", on=on)

    fill([0])
    client.get("/studio/money/months/")
    with CaptureQueriesContext(connection) as one:
        client.get("/studio/money/months/")
    fill(range(1, 25))
    with CaptureQueriesContext(connection) as many:
        client.get("/studio/money/months/")
    assert len(many) == len(one)


@pytest.fixture
def agreed(commission, owner):
    """By hand: GBP 1,000.00 and GBP 200.00 tax, in two halves."""
    row = NewLine(kind="making", words="The ring", unit_minor=100000, tax_code="GB-20", tax_rate=20)
    centre = NewLine(kind="centre", words="Stone", unit_minor=0, tax_code="GB-20", tax_rate=20)
    agreed_price(commission=commission, owner=owner, lines=[row, centre], plan="50/50")
    return commission


def sums(commission):
    return {
        "held": queries.held(commission=commission),
        "tax": queries.tax_entered(commission=commission),
        "sold": queries.sold(commission=commission),
    }


def keep(owner, sale, tax):
    return actions.keep_rule(sale=sale, tax=tax, why="the accountant, by letter", person=owner)


def at_stage(commission, stage):
    Commission.objects.filter(pk=commission.pk).update(stage=stage)
    commission.refresh_from_db()


def test_the_house_rule_holds_what_is_paid_and_books_its_tax(agreed):
    receive(agreed, minor=60000)
    assert sums(agreed) == {"held": 50000, "tax": 10000, "sold": 0}
    actions.recognise_at_handover(commission=agreed, by_words="O")
    # With the ring all of its tax is due, also on what is still to be paid.
    assert sums(agreed) == {"held": 0, "tax": 20000, "sold": 40000}


def test_the_tax_may_wait_for_the_sale(agreed, owner):
    keep(owner, "handover", "sale")
    receive(agreed, minor=120000)
    assert sums(agreed) == {"held": 120000, "tax": 0, "sold": 0}
    actions.recognise_at_handover(commission=agreed, by_words="O")
    assert sums(agreed) == {"held": 0, "tax": 20000, "sold": 100000}


def test_a_sale_on_payment(agreed, owner):
    keep(owner, "payment", "payment")
    receive(agreed, minor=60000)
    assert sums(agreed) == {"held": 0, "tax": 10000, "sold": 50000}
    assert actions.recognise_at_handover(commission=agreed, by_words="O") is None


def test_a_sale_on_completion(agreed, owner):
    receive(agreed, minor=60000)
    actions.event_happened(commission=agreed, event="dispatch")
    assert sums(agreed)["sold"] == 0, "the house's own rule waits for the handover"
    keep(owner, "completion", "payment")
    actions.event_happened(commission=agreed, event="stones-set")
    assert sums(agreed)["sold"] == 0
    at_stage(agreed, "handover")
    actions.event_happened(commission=agreed, event="dispatch")
    assert sums(agreed) == {"held": 0, "tax": 20000, "sold": 40000}
    receive(agreed, reference="C", minor=60000)
    assert sums(agreed) == {"held": 0, "tax": 20000, "sold": 100000}


def test_a_rule_changes_nothing_that_stands(agreed, owner):
    receive(agreed, minor=60000)
    before = list(Entry.objects.values_list("pk", "kind", "on"))
    keep(owner, "payment", "payment")
    assert list(Entry.objects.values_list("pk", "kind", "on")) == before
    assert sums(agreed)["held"] == 50000
    receive(agreed, reference="C", minor=60000)
    assert sums(agreed) == {"held": 50000, "tax": 20000, "sold": 50000}
    actions.recognise_at_handover(commission=agreed, by_words="O")
    assert sums(agreed) == {"held": 0, "tax": 20000, "sold": 100000}


@pytest.mark.parametrize("sale", ["handover", "completion", "payment"])
def test_whoever_walks_away_gets_the_same_whatever_the_rule(agreed, owner, sale):
    """By hand: 600.00 paid, 150.00 spent beyond recovery: 450.00 go back."""
    keep(owner, sale, "payment")
    receive(agreed, minor=60000)
    actions.commit(
        commission=agreed,
        kind="stone",
        words="Stone",
        minor=25000,
        recoverable_minor=10000,
        key="S",
        by_words="O",
    )
    found = statement(commission=agreed)
    assert (found.settled, found.kept, found.refund) == (60000, 15000, 45000)
    withdraw(commission=agreed, reason="changed their mind", person=owner)
    agreed.refresh_from_db()
    entry = actions.settle_cancellation(commission=agreed, person=owner)
    assert actions.settle_cancellation(commission=agreed, person=owner) == entry
    assert queries.refund_due(commission=agreed) == 45000
    assert sums(agreed) == {"held": 0, "tax": 2500, "sold": 0}
    assert queries.stock(commission=agreed) == {"stone-stock": 10000}, "what goes back stays in stock"
    from commissions.money.more_papers import find

    paper = find(commission=agreed, kind="cancellation", pk=entry.pk).contents()
    assert (paper["kept"], paper["refund"]) == (15000, 45000)


def test_the_page_of_the_rule(agreed, owner, jeweller, client):
    client.force_login(jeweller)
    assert client.get("/studio/money/rule/").status_code == 403
    client.force_login(owner)
    assert "then it becomes a sale" in client.get("/studio/money/rule/").content.decode()
    assert client.post("/studio/money/rule/", {"sale": "payment", "tax": "payment"}).status_code == 422
    assert not BookRule.objects.exists()
    typed = {"sale": "payment", "tax": "sale", "why": "the accountant"}
    assert client.post("/studio/money/rule/", typed).status_code == 302
    receive(agreed)
    for address in ("/studio/money/rule/", "/studio/money/", "/studio/money/ledger/"):
        assert "booked as a sale when it comes in" in client.get(address).content.decode(), address
    with pytest.raises(Refused, match="Only an owner"):
        actions.keep_rule(sale="handover", tax="sale", why="x", person=jeweller)
