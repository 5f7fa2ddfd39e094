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
from commissions.money.exports import account_name, beancount_rows
from commissions.money.models import Account, BankLine, Entry, Period, Posting
from commissions.money.statements import Row
from commissions.record.actions import open_commission
from commissions.record.errors import Refused
from studio import clock
from studio.amounts import from_minor

CURRENCIES = ("GBP", "JPY", "KWD")
SUMS = st.integers(min_value=1, max_value=9_000_000)
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
    """Receipts, costs, tray, matches, corrections, handovers, refunds and closed months, in any order."""

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
def test_three_hundred_histories_load_and_balance(owner, joachim):
    play(owner=owner, client=joachim, histories=300)
