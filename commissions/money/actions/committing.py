"""Committing: stones, metal and outside work that a job has cost before it is paid for."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.money.actions.posting import credit, debit, post
from commissions.money.models import Commitment, CommitmentKind
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
) -> Commitment:
    """
    Enter what a job has cost us, in the currency of the commission; the same *key* is entered once.

    Effects, in order: an entry debits stock or cost and credits suppliers (or the bank where it is *paid*
    already); the commitment is written. Our own time is a figure for cover and not an entry.

    Raises:
        Refused: the sum is not more than nought, or more would come back than was spent.
    """
    if minor <= 0:
        raise Refused("What was spent is more than nought.")
    if not 0 <= recoverable_minor <= minor:
        raise Refused("No more can come back than was spent.")
    standing = Commitment.objects.filter(key=key).first()
    if standing:
        return standing
    entry = None
    if kind != CommitmentKind.TIME:
        entry = post(
            key=f"commit:{key}",
            kind="commitment",
            currency=commission.currency,
            lines=[
                debit(ACCOUNTS[CommitmentKind(kind)], minor, commission=commission),
                credit("bank" if paid else "payables", minor),
            ],
            memo=words,
            by_words=by_words,
            on=on,
            source=key,
            commission=commission,
        )
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
            "at": clock.now(),
        },
    )
    return made
