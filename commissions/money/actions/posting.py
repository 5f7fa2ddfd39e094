"""Posting: the only writers of the ledger."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db import IntegrityError, transaction
from django.db.models import Sum

from commissions.money.accounts import account
from commissions.money.models import Entry, Period, Posting
from commissions.money.queries.periods import first_open_day
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
    currency: str = ""


def debit(code: str, minor: int, *, commission: Commission | None = None, currency: str = "") -> Line:
    """A debit of *minor* units (a negative sum is a credit); in the entry's currency where none is named."""
    return Line(code=code, minor=minor, commission=commission, currency=currency)


def credit(code: str, minor: int, *, commission: Commission | None = None, currency: str = "") -> Line:
    """A credit of *minor* units."""
    return Line(code=code, minor=-minor, commission=commission, currency=currency)


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

    Effects, in order: lines of nought are left out; the balance is proved in every currency; a date in a
    closed period moves to the first day that is open, and the entry keeps the day it was meant for; entry
    and postings are written in one transaction.

    Raises:
        Refused: the lines do not balance, fewer than two are left, or the *key* stands with other sums.
    """
    lines = [line for line in lines if line.minor]
    for code, total in _sums(lines, currency).items():
        if total != 0:
            raise Refused(f"Debits and credits do not balance in {code}.")
    if len(lines) < 2:
        raise Refused("An entry needs two sides.")
    wanted = on or clock.today()
    dated = first_open_day(on=wanted)
    try:
        with transaction.atomic():
            entry = Entry.objects.create(
                key=key,
                kind=kind,
                on=dated,
                meant_on=wanted if dated != wanted else None,
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
                    account=account(line.code, currency=line.currency or currency),
                    minor=line.minor,
                    on=dated,
                    commission=line.commission,
                )
                for line in lines
            )
            return entry
    except IntegrityError:
        standing = Entry.objects.filter(key=key).first()
        if standing is None:
            raise
        debits = dict(
            standing.postings.filter(minor__gt=0)
            .order_by()
            .values_list("account__currency")
            .annotate(total=Sum("minor"))
        )
        if debits != _sums([line for line in lines if line.minor > 0], currency):
            raise Refused(f"{source or key} is entered already, with another sum.") from None
        return standing


def _sums(lines: list[Line], currency: str) -> dict[str, int]:
    """Minor units of *lines* by currency."""
    found: dict[str, int] = {}
    for line in lines:
        code = line.currency or currency
        found[code] = found.get(code, 0) + line.minor
    return found


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
        lines=[
            Line(
                code=p.account.code,
                minor=-p.minor,
                commission=p.commission,
                currency=p.account.currency,
            )
            for p in postings
        ],
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
    Close a month for good: what is entered for it later is dated into the next open one.

    Effects, in order: the period is written, and the database itself refuses entries into it from then on; the
    trail says so. There is no way back: a mistake in a closed month is turned round in an open one.

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
