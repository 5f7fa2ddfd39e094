"""The ledger page: one account, newest first, with its running balance."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, Sum, Window

from commissions.money.models import Account, Entry, Kind, Posting

PAGE = 50


def accounts() -> list[Account]:
    """Every account that was ever opened."""
    return list(Account.objects.order_by("currency", "name"))


@dataclass(frozen=True, kw_only=True)
class LedgerPage:
    """Postings of an account, newest first, each with its ``running`` balance on the account's own side."""

    rows: list[Posting]
    after: int | None
    balance: int


def ledger_page(
    *, account: Account, after: int | None = None, reference: str = "", size: int = PAGE
) -> LedgerPage:
    """
    One page of an account in the order of days, by keyset: four queries, whatever its length.

    *after* is the last posting of the page before. The balance under the oldest row of the page is one sum
    over an index; the rows above it are added up by a window function, so no row is loaded to be counted.
    """
    sign = 1 if account.kind in (Kind.ASSET, Kind.EXPENSE) else -1
    every = Posting.objects.filter(account=account)
    if reference:
        every = every.filter(commission__reference=reference)
    upto = every
    if after:
        last = Posting.objects.filter(pk=after).values_list("on", flat=True).first()
        upto = _before(every, on=last, pk=after) if last else every.none()
    keys = list(upto.order_by("-on", "-pk").values_list("pk", "on")[: size + 1])
    if not keys:
        return LedgerPage(rows=[], after=None, balance=0)
    shown = keys[:size]
    oldest, day = shown[-1]
    below = _before(every, on=day, pk=oldest).aggregate(total=Sum("minor"))["total"] or 0
    rows = list(
        Posting.objects.filter(pk__in=[pk for pk, _on in shown])
        .annotate(added=Window(Sum("minor"), order_by=[F("on").asc(), F("pk").asc()]))
        .select_related("entry", "commission", "entry__reverses")
        .order_by("-on", "-pk")
    )
    for row in rows:
        row.running = sign * (below + row.added)
        row.signed = sign * row.minor
    balance = rows[0].running if not after else 0
    return LedgerPage(rows=rows, after=oldest if len(keys) > size else None, balance=balance)


def _before(rows, *, on, pk: int):
    """Rows of an earlier day, or of the same day and entered earlier."""
    return rows.filter(on__lte=on).exclude(on=on, pk__gte=pk)


def entry_of(*, pk: int) -> Entry | None:
    """One entry with its postings, accounts and what it rests on."""
    return (
        Entry.objects.select_related(
            "commission__client", "reverses", "reversed_by", "conversion__rate__made_by"
        )
        .prefetch_related("postings__account", "postings__commission")
        .filter(pk=pk)
        .first()
    )
