"""Money in another currency, by examples worked out by hand; every currency balances by itself."""

from decimal import Decimal

import pytest
from beancount import loader
from django.db import DatabaseError, transaction
from django.db.models import Sum

from commissions.money import actions, queries
from commissions.money.exports import beancount_rows
from commissions.money.models import Account, BankLine, Commitment, Conversion, Entry, Posting, Rate
from commissions.money.statements import Row
from commissions.record.actions import withdraw
from commissions.record.errors import Refused
from tests.commissions.money.helpers import agreed_price


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def rate(owner, figure, of="GBP", into="USD"):
    return actions.keep_rate(of=of, into=into, rate=Decimal(figure), source="invented table", person=owner)


def balance(code, currency):
    rows = Posting.objects.filter(account__code=code, account__currency=currency)
    return rows.aggregate(total=Sum("minor"))["total"] or 0


def all_balanced():
    for currency in set(Account.objects.values_list("currency", flat=True)):
        total = Posting.objects.filter(account__currency=currency).aggregate(total=Sum("minor"))["total"]
        assert not total, currency
    _entries, errors, _options = loader.load_string("".join(beancount_rows()))
    assert errors == []


def test_a_claim_settled_from_abroad_by_hand(commission, owner):
    """
    By hand: a claim of GBP 1,554.36; USD 2,044.00 come in at 1 GBP = 1.3187 USD.

    2044.00 / 1.3187 = 1550.0113… → GBP 1,550.01. The claim is settled in full, so 1,554.36 − 1,550.01 = 4.35 is lost.
    """
    entry = actions.post_receipt(
        commission=commission,
        minor=155436,
        currency="GBP",
        reference="W-1",
        by_words="O",
        foreign=actions.Foreign(minor=204400, currency="USD", rate=rate(owner, "1.3187")),
    )
    assert queries.settled(commission=commission) == 155436
    assert queries.held(commission=commission) == 155436
    assert balance("bank", "USD") == 204400
    assert balance("conversion", "USD") == -204400
    assert balance("conversion", "GBP") == 155001
    assert balance("exchange", "GBP") == 435
    assert queries.exchange_gain(commission=commission) == -435
    changed = Conversion.objects.get(entry=entry)
    assert (changed.foreign_minor, changed.minor, changed.difference_minor) == (204400, 155436, -435)
    assert queries.per_piece().rows[0].settled == 155436
    all_balanced()


def test_the_same_receipt_from_abroad_is_entered_once(commission, owner):
    def once():
        return actions.post_receipt(
            commission=commission,
            minor=155436,
            currency="GBP",
            reference="W-1",
            by_words="O",
            foreign=actions.Foreign(minor=204400, currency="USD", rate=rate(owner, "1.3187")),
        )

    assert once() == once()
    assert (Entry.objects.count(), Rate.objects.count(), Conversion.objects.count()) == (1, 1, 1)


def test_a_rate_the_other_way_round_gains_by_hand(commission, owner):
    """By hand: 500.00 EUR at 1 EUR = 0.8640 GBP are GBP 432.00; they settle 430.00, so 2.00 are gained."""
    actions.post_receipt(
        commission=commission,
        minor=43000,
        currency="GBP",
        reference="W-2",
        by_words="O",
        foreign=actions.Foreign(minor=50000, currency="EUR", rate=rate(owner, "0.8640", "EUR", "GBP")),
    )
    assert balance("exchange", "GBP") == -200
    assert queries.exchange_gain(commission=commission) == 200
    all_balanced()


def test_a_rate_typed_the_wrong_way_round_is_caught(commission, owner):
    with pytest.raises(Refused, match="which way round"):
        actions.post_receipt(
            commission=commission,
            minor=155436,
            currency="GBP",
            reference="W-1",
            by_words="O",
            foreign=actions.Foreign(minor=204400, currency="USD", rate=rate(owner, "1.3187", "USD", "GBP")),
        )
    assert Entry.objects.count() == 0


def test_yen_have_no_minor_unit_by_hand(commission, owner):
    """By hand: JPY 197,400 at 1 GBP = 197.40 JPY are GBP 1,000.00."""
    foreign = actions.Foreign(minor=197400, currency="JPY", rate=rate(owner, "197.40", "GBP", "JPY"))
    assert foreign.worth(currency="GBP") == 100000


@pytest.fixture
def bill(commission, owner):
    """A stone of USD 1,052.00 entered at 1 GBP = 1.3150 USD: GBP 800.00 by hand."""
    foreign = actions.Foreign(minor=105200, currency="USD", rate=rate(owner, "1.3150"))
    return actions.commit(
        commission=commission,
        kind="stone",
        words="Stone",
        minor=80000,
        key="S-1",
        by_words="O",
        bill=foreign,
    )


def test_a_bill_paid_at_another_rate_by_hand(bill, commission, owner):
    """By hand: the bank takes GBP 812.50 for the bill that was entered at 800.00: 12.50 are lost."""
    assert bill.is_owed and bill.owed == (105200, "USD")
    actions.pay_bill(commitment=bill, minor=81250, currency="GBP", reference="T-1", person=owner)
    again = actions.pay_bill(commitment=bill, minor=81250, currency="GBP", reference="T-1", person=owner)
    assert Entry.objects.filter(kind="bill paid").get() == again
    assert balance("exchange", "GBP") == 1250
    assert balance("payables", "USD") == balance("conversion", "USD") == balance("conversion", "GBP") == 0
    assert balance("bank", "GBP") == -81250
    assert balance("stone-stock", "GBP") == 80000
    assert not Commitment.objects.get().is_owed
    assert queries.settled(commission=commission) == 0, "what we pay is no payment of the client's"
    all_balanced()


def test_a_bill_paid_from_its_own_currency_makes_no_difference(bill, owner):
    with pytest.raises(Refused, match="paid with that sum"):
        actions.pay_bill(commitment=bill, minor=105201, currency="USD", reference="T", person=owner)
    with pytest.raises(Refused, match="Pay it from"):
        actions.pay_bill(commitment=bill, minor=105200, currency="EUR", reference="T", person=owner)
    with pytest.raises(Refused, match="too far"):
        actions.pay_bill(commitment=bill, minor=181250, currency="GBP", reference="T", person=owner)
    actions.pay_bill(commitment=bill, minor=105200, currency="USD", reference="T", person=owner)
    assert balance("exchange", "GBP") == 0
    assert balance("payables", "USD") == 0
    all_balanced()


def test_the_difference_stands_on_the_profit_of_the_piece(commission, owner):
    agreed_price(commission=commission, owner=owner)
    foreign = actions.Foreign(minor=105200, currency="USD", rate=rate(owner, "1.3150"))
    made = actions.commit(
        commission=commission, kind="stone", words="S", minor=80000, key="S", by_words="O", bill=foreign
    )
    actions.pay_bill(commitment=made, minor=81250, currency="GBP", reference="T", person=owner)
    rows = {row.name: row for row in queries.profit(commission=commission)}
    assert rows["Exchange difference"].actual == 1250
    assert rows["Together"].actual == 80000 + 1250


def test_a_correction_turns_every_currency_round(commission, owner):
    entry = actions.post_receipt(
        commission=commission,
        minor=155436,
        currency="GBP",
        reference="W-1",
        by_words="O",
        foreign=actions.Foreign(minor=204400, currency="USD", rate=rate(owner, "1.3187")),
    )
    actions.reverse(entry=entry, reason="another client's", by_words="O")
    assert queries.settled(commission=commission) == 0
    for code, currency in (
        ("bank", "USD"),
        ("conversion", "USD"),
        ("conversion", "GBP"),
        ("exchange", "GBP"),
    ):
        assert balance(code, currency) == 0, (code, currency)
    all_balanced()


def test_a_refund_that_goes_back_at_another_rate_by_hand(commission, owner):
    """
    By hand: USD 1,315.00 came in at 1.3150 and settled GBP 1,000.00. All goes back as the same USD 1,315.00 at
    1 GBP = 1.3000 USD, which are GBP 1,011.54 by then: 11.54 are lost.
    """
    actions.post_receipt(
        commission=commission,
        minor=100000,
        currency="GBP",
        reference="W",
        by_words="O",
        foreign=actions.Foreign(minor=131500, currency="USD", rate=rate(owner, "1.3150")),
    )
    withdraw(commission=commission, reason="changed their mind", person=owner)
    actions.settle_cancellation(commission=commission, person=owner)
    actions.pay_refund(
        commission=commission,
        minor=100000,
        reference="R",
        person=owner,
        foreign=actions.Foreign(minor=131500, currency="USD", rate=rate(owner, "1.3000")),
    )
    assert queries.refund_due(commission=commission) == 0
    assert queries.settled(commission=commission) == 0
    assert balance("bank", "USD") == 0
    assert balance("exchange", "GBP") == 1154
    all_balanced()


def test_rates_and_conversions_only_grow(commission, owner):
    rate(owner, "1.3")
    with pytest.raises(DatabaseError, match="only grows"), transaction.atomic():
        Rate.objects.update(rate=2)


def test_the_pages_from_abroad(commission, owner, client):
    client.force_login(owner)
    address = f"/studio/commissions/{commission.reference}/money/receipt-abroad/"
    assert client.get(address).status_code == 200
    typed = {
        "foreign_currency": "usd",
        "foreign": "2,044.00",
        "rate": "1.3187",
        "reads": "ours",
        "rate_source": "the bank's advice",
        "on_day": "1",
        "on_month": "9",
        "on_year": "2026",
        "settles": "1554.36",
        "reference": "W-1",
    }
    wrong = client.post(address, {**typed, "reads": "theirs"})
    assert wrong.status_code == 422
    assert "which way round" in wrong.content.decode()
    assert 'value="2,044.00"' in wrong.content.decode()
    assert client.post(address, {**typed, "foreign_currency": "GBP"}).status_code == 422
    assert client.post(address, {**typed, "foreign": "2044.001"}).status_code == 422
    assert client.post(address, typed).status_code == 302
    entry = Entry.objects.get()
    page = client.get(f"/studio/money/entries/{entry.pk}/").content.decode().replace("\xa0", " ")
    assert "1 GBP = 1.3187 USD" in page
    assert "GBP 4.35 lost" in page

    address = f"/studio/commissions/{commission.reference}/money/bill-abroad/"
    typed |= {"kind": "stone", "words": "Stone", "key": "S-1", "foreign": "1052.00", "rate": "1.315"}
    assert client.get(address).status_code == 200
    assert client.post(address, typed).status_code == 302
    row = Commitment.objects.get()
    address = f"/studio/commissions/{commission.reference}/money/bills/{row.pk}/"
    assert client.get(address).status_code == 200
    day = {name: typed[name] for name in ("on_day", "on_month", "on_year")}
    pays = {"paid": "1", "currency": "GBP", "amount": "812.50", "reference": "T-1", **day}
    assert client.post(address, {**pays, "amount": "1"}).status_code == 422
    assert client.post(address, pays).status_code == 302
    row.refresh_from_db()
    assert not row.is_owed
    assert client.get(f"/studio/commissions/{commission.reference}/money/").status_code == 200


def test_a_receipt_in_the_tray_from_abroad_finds_its_piece(commission, owner, client):
    client.force_login(owner)
    actions.import_rows(
        rows=[
            Row(
                key="k",
                currency="USD",
                on=commission.opened_at.date(),
                minor=131500,
                reference="?",
                counterpart="J",
            )
        ],
        person=owner,
    )
    line = BankLine.objects.get()
    answer = client.post(f"/studio/money/statements/{line.pk}/", {"reference": commission.reference})
    assert answer.status_code == 302 and "receipt-abroad" in answer["Location"]
    page = client.get(answer["Location"]).content.decode()
    assert 'value="1315.00"' in page
    typed = {
        "foreign_currency": "USD",
        "foreign": "1315.00",
        "rate": "1.315",
        "reads": "ours",
        "rate_source": "the bank's advice",
        "reference": "x",
        "on_day": str(line.on.day),
        "on_month": str(line.on.month),
        "on_year": str(line.on.year),
    }
    assert client.post(answer["Location"], {**typed, "foreign": "1316"}).status_code == 422
    assert client.post(answer["Location"], typed).status_code == 302
    line.refresh_from_db()
    assert line.state == "matched"
    assert queries.settled(commission=commission) == 100000
    assert balance("unmatched", "USD") == 0
    all_balanced()


def test_what_broke_is_a_loss_that_we_bear(commission, owner, client):
    row = actions.commit(
        commission=commission,
        kind="stone",
        words="Twenty halo stones",
        minor=20000,
        key="H",
        by_words="O",
        recoverable_minor=20000,
    )
    client.force_login(owner)
    address = f"/studio/commissions/{commission.reference}/money/bills/{row.pk}/"
    typed = {"broken": "1", "amount": "10.00", "why": "one cracked under the bead", "turn": "t1"}
    assert client.post(address, {**typed, "amount": "200.01"}).status_code == 422
    for _twice in range(2):
        assert client.post(address, typed).status_code == 302
    assert balance("breakage", "GBP") == 1000
    assert queries.stock(commission=commission) == {"stone-stock": 19000}
    row.refresh_from_db()
    assert row.recoverable_minor == 19000
    assert queries.committed(commission=commission) == 1000


def test_a_purchase_that_was_turned_round_counts_no_more(commission, owner):
    row = actions.commit(
        commission=commission, kind="stone", words="Typed twice", minor=500, key="S", by_words="O"
    )
    actions.reverse(entry=row.entry, reason="typed twice", by_words="O")
    assert queries.committed(commission=commission) == 0
    assert queries.per_piece().uncovered == {}


@pytest.mark.parametrize("way", ["receipt-abroad/", "bill-abroad/"])
def test_only_owners_enter_money(commission, jeweller, client, way):
    client.force_login(jeweller)
    assert client.get(f"/studio/commissions/{commission.reference}/money/{way}").status_code == 403
