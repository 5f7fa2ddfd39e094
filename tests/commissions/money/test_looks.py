"""Charts draw what the ledger says, give it as a table too, and name no colour of their own."""

import datetime
import xml.etree.ElementTree as ET

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from commissions.money import actions, charts, queries
from commissions.money.models import Instalment
from commissions.record.actions import open_commission
from commissions.record.models import Question
from studio import clock
from tests.cast import ring_client
from tests.commissions.money.helpers import agreed_price

DAY = datetime.datetime(2026, 9, 15, 12, tzinfo=datetime.UTC)


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def words(minor):
    return f"{minor / 100:.0f}"


def parsed(svg):
    root = ET.fromstring(str(svg))
    assert root.attrib["role"] == "img" and root.attrib["aria-label"]
    assert not [part for part in root.iter() if {"style", "fill", "stroke"} & set(part.attrib)]
    return root


def test_steps_stand_as_high_as_their_sums():
    root = parsed(charts.steps(points=[("Aug", 5000), ("Sep", 10000)], says="held", words=words))
    path = next(part for part in root.iter("path")).attrib["d"]
    # The ground lies at 126, the highest step at 22, half of it in the middle at 74.
    assert path == "M8 126V74H180V22H352V126Z"
    assert "100" in [part.text for part in root.iter("text")]


def test_bars_are_long_in_proportion_and_say_when_they_are_late():
    rows = [
        charts.Bar(words="late", minor=2500, late=True),
        charts.Bar(words="14 Sep", minor=10000),
        charts.Bar(words="21 Sep", minor=0),
    ]
    root = parsed(charts.bars(rows=rows, says="due", words=words))
    found = [(part.attrib["class"], part.attrib["height"]) for part in root.iter("rect")]
    assert found == [("late", "26"), ("due", "104")]
    assert [part.text for part in root.iter("text")] == ["25", "late", "100", "14 Sep", "21 Sep"]


def test_a_job_over_its_forecast_says_so_in_words():
    rows = [
        charts.Pair(words="A", forecast=10000, actual=12000),
        charts.Pair(words="B", forecast=10000, actual=9000),
        charts.Pair(words="C", forecast=0, actual=9000),
    ]
    root = parsed(charts.pairs(rows=rows, says="jobs", words=words))
    texts = [part.text for part in root.iter("text")]
    assert texts == ["A", "100", "120 over", "B", "100", "90", "C", "0", "90"]


def test_words_of_others_cannot_become_markup():
    root = parsed(charts.bars(rows=[charts.Bar(words="<b>&", minor=1)], says='"<i>', words=words))
    assert "<b>&" in [part.text for part in root.iter("text")]


def test_held_over_time_by_hand(commission):
    """By hand: 100.00 in July, 50.00 more in August, the first turned round in September: 100, 150, 50."""
    with clock.standing_at(DAY):
        for day, minor, reference in (
            (datetime.date(2026, 7, 3), 10000, "A"),
            (datetime.date(2026, 8, 3), 5000, "B"),
        ):
            entry = actions.post_receipt(
                commission=commission, minor=minor, currency="GBP", reference=reference, by_words="O", on=day
            )
            if reference == "A":
                first = entry
        actions.reverse(entry=first, reason="another's", by_words="O")
        points = queries.held_over_time(months=4)["GBP"]
    assert points == [
        (datetime.date(2026, 6, 1), 0),
        (datetime.date(2026, 7, 1), 10000),
        (datetime.date(2026, 8, 1), 15000),
        (datetime.date(2026, 9, 1), 5000),
    ]


def test_due_by_week_and_what_waits(commission, owner):
    quote = agreed_price(commission=commission, owner=owner)
    first, second, third = quote.instalments.order_by("number")
    actions.post_receipt(
        commission=commission, minor=first.minor - 1000, currency="GBP", reference="A", by_words="O"
    )
    weeks = queries.due_by_week(weeks=3)["GBP"]
    assert sum(week.minor for week in weeks) == 1000
    assert weeks[0].minor == 0 and weeks[2].minor + weeks[1].minor == 1000
    assert queries.waiting_for_event() == {
        "GBP": [("when the stones are set", second.minor), ("before dispatch", third.minor)]
    }
    Question.objects.filter(key="money.first-instalment").update(
        due_on=clock.today() - datetime.timedelta(days=3)
    )
    assert queries.due_by_week(weeks=3)["GBP"][0].minor == 1000
    overdue, due = queries.due()
    assert (queries.sums_of(overdue), due) == ([("GBP", 1000)], [])


def test_the_sum_due_is_the_one_of_the_plan(commission, owner):
    quote = agreed_price(commission=commission, owner=owner)
    actions.event_happened(commission=commission, event="stones-set")
    for paid in (1, 50000, 150000):
        actions.post_receipt(
            commission=commission, minor=paid, currency="GBP", reference=f"B{paid}", by_words="O"
        )
        of_plan = {
            row.instalment.number: row.outstanding
            for row in queries.plan_rows(quote=quote)
            if row.outstanding and row.instalment.requested_at
        }
        _late, due = queries.due()
        assert [row.minor for row in due] == list(of_plan.values())


def test_the_page_gives_figures_for_every_chart(commission, owner, jeweller, client):
    agreed_price(commission=commission, owner=owner)
    actions.post_receipt(commission=commission, minor=12345, currency="GBP", reference="A", by_words="O")
    actions.commit(commission=commission, kind="stone", words="S", minor=999999, key="S", by_words="O")
    client.force_login(jeweller)
    assert client.get("/studio/money/looks/").status_code == 403
    client.force_login(owner)
    page = client.get("/studio/money/looks/").content.decode()
    assert page.count('<svg class="chart"') == 3
    assert page.count("<details>") == 3
    assert "1 cost more than forecast so far" in page
    assert "style=" not in page.partition("<main")[2]


def test_the_page_asks_the_same_with_one_job_and_with_thirty(owner, client):
    client.force_login(owner)

    def fill(numbers):
        for number in numbers:
            made = open_commission(
                client=ring_client(email=f"l{number}@client.example"),
                title="Ring",
                currency="GBP",
                person=owner,
            )
            agreed_price(commission=made, owner=owner)
            actions.post_receipt(
                commission=made, minor=100, currency="GBP", reference=f"l{number}", by_words="O"
            )

    fill([0])
    for address in ("/studio/money/looks/", "/studio/money/"):
        client.get(address)
    found = {}
    for address in ("/studio/money/looks/", "/studio/money/"):
        with CaptureQueriesContext(connection) as one:
            client.get(address)
        found[address] = len(one)
    fill(range(1, 30))
    assert Instalment.objects.count() == 90
    for address, asked in found.items():
        with CaptureQueriesContext(connection) as many:
            client.get(address)
        assert len(many) == asked, address


def test_an_account_is_read_in_the_order_of_days(commission):
    today = clock.today()
    for back in (1, 5, 3):
        actions.post_receipt(
            commission=commission,
            minor=back,
            currency="GBP",
            reference=f"b{back}",
            by_words="O",
            on=today - datetime.timedelta(days=back),
        )
    held = next(row for row in queries.accounts() if row.code == "held")
    page = queries.ledger_page(account=held, size=2)
    assert [(row.minor, row.running) for row in page.rows] == [(-1, 9), (-3, 8)]
    page = queries.ledger_page(account=held, size=2, after=page.after)
    assert [(row.minor, row.running) for row in page.rows] == [(-5, 5)]
    assert page.after is None
