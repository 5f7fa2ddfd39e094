"""Posting: the only writers of the ledger."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.db.models import Sum

from commissions.money.accounts import account
from commissions.money.models import Entry, Period, Posting
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@dataclass(frozen=True, kw_only=True)
class Line:
    """
    One side of an entry: account code, and minor units (debit positive, credit negative).

    On the bank a commission stands only where the money is the client's: so a balance of what a client has
    paid is one sum over one index. What we pay to a supplier for a job stands there without it.
    """

    code: str
    minor: int
    commission: Commission | None = None


def debit(code: str, minor: int, *, commission: Commission | None = None) -> Line:
    """A debit of *minor* units (a negative sum is a credit)."""
    return Line(code=code, minor=minor, commission=commission)


def credit(code: str, minor: int, *, commission: Commission | None = None) -> Line:
    """A credit of *minor* units."""
    return Line(code=code, minor=-minor, commission=commission)


def post(
    *,
    key: str,
    kind: str,
    currency: str,
    lines: list[Line],
    memo: str,
    by_words: str,
    on: datetime.date | None = None,
    source: str = "",
    commission: Commission | None = None,
    reverses: Entry | None = None,
) -> Entry:
    """
    Write one balanced entry; a repeat with the same *key* returns the entry that stands.

    Effects, in order: lines of nought are left out; the balance is proved; a date in a closed period
    moves to the first day that is open; entry and postings are written in one transaction.

    Raises:
        Refused: the lines do not balance, fewer than two are left, or the *key* stands with other sums.
    """
    lines = [line for line in lines if line.minor]
    if sum(line.minor for line in lines) != 0:
        raise Refused("Debits and credits do not balance.")
    if len(lines) < 2:
        raise Refused("An entry needs two sides.")
    try:
        with transaction.atomic():
            entry = Entry.objects.create(
                key=key,
                kind=kind,
                on=open_date(on or clock.today()),
                memo=memo,
                source=source,
                commission=commission,
                reverses=reverses,
                by_words=by_words,
                at=clock.now(),
            )
            Posting.objects.bulk_create(
                Posting(
                    entry=entry,
                    account=account(line.code, currency=currency),
                    minor=line.minor,
                    commission=line.commission,
                )
                for line in lines
            )
            return entry
    except IntegrityError:
        standing = Entry.objects.filter(key=key).first()
        if standing is None:
            raise
        total = standing.postings.filter(minor__gt=0).aggregate(total=Sum("minor"))["total"]
        if total != sum(line.minor for line in lines if line.minor > 0):
            raise Refused(f"{source or key} is entered already, with another sum.") from None
        return standing


def open_date(on: datetime.date) -> datetime.date:
    """*on* itself, or the first day after it that lies in no closed period."""
    closed = set(Period.objects.values_list("year", "month"))
    while (on.year, on.month) in closed:
        on = (on.replace(day=28) + datetime.timedelta(days=4)).replace(day=1)
    return on


@transaction.atomic
def reverse(*, entry: Entry, reason: str, by_words: str) -> Entry:
    """
    Correct an entry by one that turns it round; an entry can be reversed once.

    Effects, in order: the mirror entry is written with its reason; the trail says so.

    Raises:
        Refused: there is no reason, or the entry is itself a reversal.
    """
    if not reason.strip():
        raise Refused("Say why this entry is wrong.")
    if entry.reverses_id:
        raise Refused("A reversal is not reversed: enter the right sum anew.")
    postings = list(entry.postings.select_related("account", "commission"))
    mirrored = post(
        key=f"reverse:{entry.pk}",
        kind=f"{entry.kind} reversed"[:40],
        currency=postings[0].account.currency,
        lines=[Line(code=p.account.code, minor=-p.minor, commission=p.commission) for p in postings],
        memo=f"Reverses entry {entry.pk}: {reason}"[:200],
        by_words=by_words,
        source=entry.source,
        commission=entry.commission,
        reverses=entry,
    )
    write_trail(
        actor=by_words, verb="reversed an entry", subject=f"entry:{entry.pk}", facts={"reason": reason}
    )
    return mirrored


@transaction.atomic
def close_period(*, year: int, month: int, person: Person) -> Period:
    """
    Close a month: later entries for it are dated into the next open one.

    Effects, in order: the period is written; the trail says so.

    Raises:
        Refused: the month is not over yet.
    """
    today = clock.today()
    if (year, month) >= (today.year, today.month):
        raise Refused("Only a month that is over can be closed.")
    period, made = Period.objects.get_or_create(
        year=year, month=month, defaults={"closed_at": clock.now(), "closed_by": person}
    )
    if made:
        write_trail(actor=person, verb="closed a period", subject=f"period:{year}-{month:02d}")
    return period
