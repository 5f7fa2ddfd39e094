"""Committing: stones, metal and outside work that a job has cost before it is paid for."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.money.actions.exchanging import Foreign, keep_conversion
from commissions.money.actions.posting import credit, debit, post
from commissions.money.models import Commitment, CommitmentKind, Entry
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio import clock

ACCOUNTS = {
    CommitmentKind.STONE: "stone-stock",
    CommitmentKind.METAL: "metal-stock",
    CommitmentKind.WORK: "cost-rings",
    CommitmentKind.CARRIAGE: "carriage",
}


@transaction.atomic
def commit(
    *,
    commission: Commission,
    kind: str,
    words: str,
    minor: int,
    key: str,
    by_words: str,
    recoverable_minor: int = 0,
    recoverable_until: datetime.date | None = None,
    why: str = "",
    paid: bool = False,
    on: datetime.date | None = None,
    bill: Foreign | None = None,
) -> Commitment:
    """
    Enter what a job has cost us, in the currency of the commission; the same *key* is entered once.

    A *bill* in another currency stands with suppliers as it is; *minor* is what it is worth at its rate.

    Effects, in order: an entry debits stock or cost and credits suppliers (or the bank where it is *paid*
    already); the commitment is written. Our own time is a figure for cover and not an entry.

    Raises:
        Refused: the sum is not more than nought, or more would come back than was spent.
    """
    if bill and bill.worth(currency=commission.currency) != minor:
        raise Refused("The cost is what the bill is worth at its rate.")
    if minor <= 0:
        raise Refused("What was spent is more than nought.")
    if not 0 <= recoverable_minor <= minor:
        raise Refused("No more can come back than was spent.")
    standing = Commitment.objects.filter(key=key).first()
    if standing:
        return standing
    entry = None
    against = "bank" if paid else "payables"
    if kind != CommitmentKind.TIME:
        across = (
            [
                credit("conversion", minor),
                debit("conversion", bill.minor, currency=bill.currency),
                credit(against, bill.minor, currency=bill.currency),
            ]
            if bill
            else [credit(against, minor)]
        )
        entry = post(
            key=f"commit:{key}",
            kind="commitment",
            currency=commission.currency,
            lines=[
                debit(ACCOUNTS[CommitmentKind(kind)], minor, commission=commission),
                *across,
            ],
            memo=words,
            by_words=by_words,
            on=on,
            source=key,
            commission=commission,
        )
        if bill:
            keep_conversion(entry=entry, foreign=bill, minor=minor, commission=commission, difference=0)
    made, _new = Commitment.objects.get_or_create(
        key=key,
        defaults={
            "commission": commission,
            "kind": kind,
            "words": words,
            "minor": minor,
            "recoverable_minor": recoverable_minor,
            "recoverable_until": recoverable_until,
            "why": why,
            "entry": entry,
            "paid_at_once": paid,
            "bill_currency": bill.currency if bill else "",
            "bill_minor": bill.minor if bill else None,
            "at": clock.now(),
        },
    )
    return made


@transaction.atomic
def write_off(*, commitment: Commitment, minor: int, why: str, key: str, by_words: str) -> Entry:
    """
    Enter that stones or metal of a commitment broke or were lost and that we bear it; a *key* is entered once.

    Effects, in order: loss and breakage is debited and the stock credited; what of the commitment could have
    gone back shrinks to what is left of it.

    Raises:
        Refused: no reason is given, or more would be lost than still stands in stock.
    """
    from commissions.money import queries

    commission = commitment.commission
    Commission.objects.select_for_update().get(pk=commission.pk)
    standing = Entry.objects.filter(key=f"lost:{key}").first()
    if standing:
        return standing
    code = ACCOUNTS.get(commitment.kind, "")
    if not why.strip():
        raise Refused("Say what happened.")
    lost = queries.written_off(commitment=commitment)
    left = min(commitment.minor - lost, queries.stock(commission=commission).get(code, 0))
    if not 0 < minor <= left:
        raise Refused("No more can be lost than what of it still stands in stock.")
    entry = post(
        key=f"lost:{key}"[:120],
        kind="breakage",
        currency=commission.currency,
        lines=[
            debit("breakage", minor, commission=commission),
            credit(code, minor, commission=commission),
        ],
        memo=f"{commitment.words}: {why}"[:200],
        by_words=by_words,
        source=f"commitment:{commitment.pk}",
        commission=commission,
    )
    Commitment.objects.filter(pk=commitment.pk, recoverable_minor__gt=commitment.minor - lost - minor).update(
        recoverable_minor=commitment.minor - lost - minor
    )
    return entry
