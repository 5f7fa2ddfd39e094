"""Months: which are closed, which can be, and what came too late for one."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db.models import Count

from commissions.money.models import Entry, Period
from studio import clock


def closed_months() -> set[tuple[int, int]]:
    """Year and month of every period that is closed."""
    return set(Period.objects.values_list("year", "month"))


def first_open_day(*, on: datetime.date) -> datetime.date:
    """*on* itself, or the first day after it that lies in no closed month."""
    closed = closed_months()
    while (on.year, on.month) in closed:
        on = (on.replace(day=28) + datetime.timedelta(days=4)).replace(day=1)
    return on


@dataclass(frozen=True, kw_only=True)
class Month:
    """One month: how many entries are dated into it, and who closed it."""

    first: datetime.date
    entries: int
    period: Period | None
    over: bool


def months(*, limit: int = 36) -> list[Month]:
    """Months with entries or closed, newest first, at most *limit*; two queries."""
    counted: dict[datetime.date, int] = {}
    for on, entries in Entry.objects.order_by().values_list("on").annotate(n=Count("pk")):
        counted[on.replace(day=1)] = counted.get(on.replace(day=1), 0) + entries
    closed = {
        datetime.date(row.year, row.month, 1): row for row in Period.objects.select_related("closed_by")
    }
    this = clock.today().replace(day=1)
    firsts = sorted({*counted, *closed}, reverse=True)[:limit]
    return [
        Month(first=first, entries=counted.get(first, 0), period=closed.get(first), over=first < this)
        for first in firsts
    ]


def late_entries(*, limit: int = 50) -> list[Entry]:
    """Entries whose own day lay in a month that was closed when they came, newest first."""
    return list(
        Entry.objects.filter(meant_on__isnull=False).select_related("commission").order_by("-id")[:limit]
    )
