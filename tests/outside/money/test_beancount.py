"""
Random histories of the ledger, exported and read by beancount, a maintained double-entry tool: it must load
them without an error and come to the same balances, to the minor unit.
"""

import datetime
from collections import defaultdict
from decimal import Decimal

import pytest
from beancount import loader
from beancount.core import data
from django.db import transaction
from django.db.models import Sum
from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule, run_state_machine_as_test

from commissions.money import actions, queries
from commissions.money.cancellation import statement
from commissions.money.exports import account_name, beancount_rows
from commissions.money.models import Account, BankLine, Commitment, Entry, Period, Posting
from commissions.money.statements import Row
from commissions.record.actions import open_commission, withdraw
from commissions.record.errors import Refused
from studio import clock
from studio.amounts import from_minor

CURRENCIES = ("GBP", "JPY", "KWD")
SUMS = st.integers(min_value=1, max_value=9_000_000)
RATES = st.integers(min_value=50, max_value=250_000)
WORDS = st.text(max_size=40)


def theirs() -> dict[tuple[str, str], Decimal]:
    """Balances that beancount comes to; no error is let pass."""
    entries, errors, _options = loader.load_string("".join(beancount_rows()))
    assert errors == []
    sums: defaultdict[tuple[str, str], Decimal] = defaultdict(Decimal)
    for entry in entries:
        if isinstance(entry, data.Transaction):
            for row in entry.postings:
                sums[(row.account, row.units.currency)] += row.units.number
    return dict(sums)


def ours() -> dict[tuple[str, str], Decimal]:
    """Balances as our database adds them up."""
    totals = dict(Posting.objects.order_by().values_list("account").annotate(total=Sum("minor")))
    return {
        (account_name(row), row.currency): from_minor(minor=totals[row.pk], currency=row.currency)
        for row in Account.objects.all()
        if row.pk in totals
    }


class History(RuleBasedStateMachine):
    """
    Receipts and bills at home and abroad, losses, tray, matches, doubts, corrections, handovers, cancellations,
    refunds, closed months and other rules, in any order.
    """

    people = None

    def __init__(self):
        super().__init__()
        self.frame = transaction.atomic()
        self.frame.__enter__()
        owner, client = self.people
        self.owner = owner
        self.commissions = [
            open_commission(client=client, title="Ring", currency=currency, person=owner)
            for currency in CURRENCIES
        ]
        self.steps = 0

    def one(self, place):
        return self.commissions[place % len(self.commissions)]

    @rule(place=st.integers(0, 2), minor=SUMS, reference=st.sampled_from("ABCDEF"), memo=WORDS)
    def receipt(self, place, minor, reference, memo):
        commission = self.one(place)
        memo = memo.replace("\x00", "")
        try:
            actions.post_receipt(
                commission=commission,
                minor=minor,
                currency=commission.currency,
                reference=reference,
                by_words="h",
                memo=memo,
            )
        except Refused as refusal:
            assert "another sum" in str(refusal)

    @rule(
        place=st.integers(0, 2),
        minor=SUMS,
        paid=st.booleans(),
        kind=st.sampled_from(["stone", "metal", "work", "time"]),
    )
    def cost(self, place, minor, paid, kind):
        self.steps += 1
        actions.commit(
            commission=self.one(place),
            kind=kind,
            words="Cost",
            minor=minor,
            key=f"c{self.steps}",
            by_words="h",
            recoverable_minor=minor // 3,
            paid=paid,
        )

    @rule(place=st.integers(0, 2), minor=SUMS, key=st.sampled_from("uvwxyz"))
    def statement(self, place, minor, key):
        row = Row(
            key=key,
            currency=CURRENCIES[place],
            on=clock.today() - datetime.timedelta(days=40),
            minor=minor,
            reference="nothing known",
            counterpart="N",
        )
        actions.import_rows(rows=[row, row], person=self.owner)

    def abroad(self, place, minor, thousandths):
        """A sum in the next currency and a rate; None where it would come to nothing."""
        ours, theirs_ = CURRENCIES[place], CURRENCIES[(place + 1) % 3]
        rate = actions.keep_rate(
            of=ours, into=theirs_, rate=Decimal(thousandths) / 1000, source="drawn", person=self.owner
        )
        foreign = actions.Foreign(minor=minor, currency=theirs_, rate=rate)
        worth = foreign.worth(currency=ours)
        return (foreign, worth) if worth > 100 else None

    @rule(place=st.integers(0, 2), minor=SUMS, thousandths=RATES, off=st.integers(-8, 8))
    def receipt_abroad(self, place, minor, thousandths, off):
        self.steps += 1
        found = self.abroad(place, minor, thousandths)
        if found:
            actions.post_receipt(
                commission=self.one(place),
                minor=found[1] * (100 + off) // 100,
                currency=CURRENCIES[place],
                reference=f"abroad {self.steps}",
                by_words="h",
                foreign=found[0],
            )

    @rule(place=st.integers(0, 2), minor=SUMS, thousandths=RATES)
    def bill_abroad(self, place, minor, thousandths):
        self.steps += 1
        found = self.abroad(place, minor, thousandths)
        if found:
            actions.commit(
                commission=self.one(place),
                kind="stone",
                words="Stone",
                minor=found[1],
                key=f"b{self.steps}",
                by_words="h",
                bill=found[0],
            )

    @precondition(lambda self: Commitment.objects.exists())
    @rule(at_home=st.booleans(), off=st.integers(-8, 8))
    def pay(self, at_home, off):
        row = Commitment.objects.select_related("commission").last()
        owed, currency = row.owed
        if not row.is_owed:
            return
        if at_home and currency != row.commission.currency:
            owed, currency = row.minor * (100 + off) // 100, row.commission.currency
        actions.pay_bill(commitment=row, minor=owed, currency=currency, reference="p", person=self.owner)

    @precondition(lambda self: Commitment.objects.exists())
    @rule(share=st.integers(1, 3))
    def lose(self, share):
        self.steps += 1
        row = Commitment.objects.select_related("commission").last()
        try:
            actions.write_off(
                commitment=row,
                minor=max(1, row.minor // share),
                why="broke",
                key=f"l{self.steps}",
                by_words="h",
            )
        except Refused as refusal:
            assert "stands in stock" in str(refusal)

    @rule(
        sale=st.sampled_from(["handover", "completion", "payment"]), tax=st.sampled_from(["payment", "sale"])
    )
    def other_rule(self, sale, tax):
        actions.keep_rule(sale=sale, tax=tax, why="drawn", person=self.owner)

    @precondition(lambda self: BankLine.objects.filter(state="asked").exists())
    @rule(same=st.booleans())
    def answer(self, same):
        actions.answer_likeness(
            line=BankLine.objects.filter(state="asked").first(), same=same, person=self.owner
        )

    @rule(place=st.integers(0, 2))
    def walk_away(self, place):
        commission = self.one(place)
        commission.refresh_from_db()
        if commission.state == "open":
            withdraw(commission=commission, reason="drawn", person=self.owner)
            commission.refresh_from_db()
        found = statement(commission=commission)
        assert found.kept + found.refund == found.settled
        actions.settle_cancellation(commission=commission, person=self.owner)
        due = queries.refund_due(commission=commission)
        if due > 1:
            actions.pay_refund(commission=commission, minor=due // 2, reference=f"r{due}", person=self.owner)

    @precondition(lambda self: BankLine.objects.filter(state="unmatched").exists())
    @rule()
    def match(self):
        line = BankLine.objects.filter(state="unmatched").first()
        commission = next(row for row in self.commissions if row.currency == line.currency)
        actions.match_line(line=line, commission=commission, person=self.owner)

    @precondition(lambda self: Entry.objects.filter(kind="receipt", reversed_by__isnull=True).exists())
    @rule()
    def correct(self):
        entry = Entry.objects.filter(kind="receipt", reversed_by__isnull=True).last()
        actions.reverse(entry=entry, reason='typed "twice" \\', by_words="h")

    @rule(place=st.integers(0, 2))
    def handover(self, place):
        actions.recognise_at_handover(commission=self.one(place), by_words="h")

    @rule()
    def close(self):
        last = clock.today().replace(day=1) - datetime.timedelta(days=1)
        actions.close_period(year=last.year, month=last.month, person=self.owner)

    def teardown(self):
        try:
            assert theirs() == ours()
            for currency in CURRENCIES:
                total = Posting.objects.filter(account__currency=currency).aggregate(total=Sum("minor"))[
                    "total"
                ]
                assert not total
            held = {row.currency: sum_ for row in self.commissions if (sum_ := queries.held(commission=row))}
            assert queries.held_per_currency() == held
            assert Period.objects.count() <= 1
        finally:
            transaction.set_rollback(True)
            self.frame.__exit__(None, None, None)


def play(*, owner, client, histories):
    machine = type("Played", (History,), {"people": (owner, client)})
    run_state_machine_as_test(
        machine,
        settings=settings(
            max_examples=histories,
            stateful_step_count=12,
            deadline=None,
            suppress_health_check=list(HealthCheck),
        ),
    )


def test_histories_load_and_balance(owner, joachim):
    play(owner=owner, client=joachim, histories=25)


@pytest.mark.slow
@pytest.mark.parametrize("quarter", range(4))
def test_a_thousand_histories_load_and_balance(owner, joachim, quarter):
    play(owner=owner, client=joachim, histories=250)
