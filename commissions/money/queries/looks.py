"""What the charts show: sums by month, by week and by job, added up by the database."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db.models import F, Sum

from commissions.money.accounts import MONEY_IN
from commissions.money.models import Account, Instalment, Posting, QuoteLine, QuoteStatus
from commissions.money.plans import EVENTS
from commissions.money.queries.balances import commitments
from commissions.money.queries.glance import due, missing_of
from commissions.record.models import Commission
from commissions.record.route import State
from studio import clock


def _first(on: datetime.date, back: int) -> datetime.date:
    """The first day of the month *back* months before that of *on*."""
    place = on.year * 12 + on.month - 1 - back
    return datetime.date(place // 12, place % 12 + 1, 1)


def held_over_time(*, months: int = 12) -> dict[str, list[tuple[datetime.date, int]]]:
    """
    What was held for clients at the end of each of the last *months*, by currency: first day and minor units.

    One query over an index: the database adds up day by day, here the days are only summed on.
    """
    firsts = [_first(clock.today(), back) for back in range(months - 1, -1, -1)]
    found: dict[str, dict[datetime.date, int]] = {}
    accounts = dict(Account.objects.filter(code="held").values_list("pk", "currency"))
    rows = (
        Posting.objects.filter(account__in=accounts)
        .order_by()
        .values_list("account", "on")
        .annotate(total=Sum("minor"))
    )
    for account, on, total in rows:
        by_month = found.setdefault(accounts[account], {})
        by_month[on.replace(day=1)] = by_month.get(on.replace(day=1), 0) - total
    series = {}
    for currency, by_month in sorted(found.items()):
        balance = sum(total for month, total in by_month.items() if month < firsts[0])
        points = []
        for first in firsts:
            balance += by_month.get(first, 0)
            points.append((first, balance))
        if any(minor for _first_day, minor in points):
            series[currency] = points
    return series


@dataclass(frozen=True, kw_only=True)
class Week:
    """What is due in one week; the first row of all is what is late."""

    monday: datetime.date | None
    minor: int


def due_by_week(*, weeks: int = 6) -> dict[str, list[Week]]:
    """What was asked for and is still missing, by currency: late, then week by week."""
    today = clock.today()
    monday = today - datetime.timedelta(days=today.weekday())
    mondays = [monday + datetime.timedelta(weeks=place) for place in range(weeks)]
    late, coming = due(days=weeks * 7)
    sums: dict[str, dict[datetime.date | None, int]] = {}
    for row in [*late, *coming]:
        on = row.question.due_on
        week = None if on < today else on - datetime.timedelta(days=on.weekday())
        of_currency = sums.setdefault(row.currency, {})
        of_currency[week] = of_currency.get(week, 0) + row.minor
    return {
        currency: [Week(monday=week, minor=found.get(week, 0)) for week in (None, *mondays)]
        for currency, found in sorted(sums.items())
        if any(found.values())
    }


def waiting_for_event() -> dict[str, list[tuple[str, int]]]:
    """What is agreed and not asked for yet, because its event has not happened, by currency and event; two queries."""
    settled = dict(
        Posting.objects.filter(
            commission__state=State.OPEN,
            account__code__in=MONEY_IN,
            account__currency=F("commission__currency"),
        )
        .order_by()
        .values_list("commission")
        .annotate(total=Sum("minor"))
    )
    plans: dict[int, list[tuple[int, int, str, str, bool]]] = {}
    for key, currency, number, minor, event, asked in (
        Instalment.objects.filter(quote__status=QuoteStatus.ACCEPTED, quote__commission__state=State.OPEN)
        .order_by("quote_id", "number")
        .values_list("quote__commission", "quote__currency", "number", "minor", "event", "requested_at")
    ):
        plans.setdefault(key, []).append((number, minor, event, currency, asked is None))
    found: dict[str, dict[str, int]] = {}
    for key, rows in plans.items():
        plan = [(row[0], row[1]) for row in rows]
        for number, _minor, event, currency, waits in rows:
            missing = missing_of(plan=plan, number=number, settled=settled.get(key, 0)) if waits else 0
            if missing:
                of_currency = found.setdefault(currency, {})
                of_currency[event] = of_currency.get(event, 0) + missing
    return {
        currency: [(EVENTS[event], by_event[event]) for event in EVENTS if event in by_event]
        for currency, by_event in sorted(found.items())
    }


@dataclass(frozen=True, kw_only=True)
class JobCost:
    """One agreed job: its forecast cost and what it has cost so far, minor units."""

    commission: Commission
    forecast: int
    actual: int

    @property
    def over(self) -> int:
        """Cost beyond the forecast; below nought where it is cheaper so far."""
        return self.actual - self.forecast


def cost_per_job(*, limit: int = 12) -> dict[str, list[JobCost]]:
    """The agreed jobs opened last, by currency; three queries, however many there are."""
    jobs = list(
        Commission.objects.filter(quotes__status=QuoteStatus.ACCEPTED)
        .exclude(state=State.WITHDRAWN)
        .select_related("client")
        .order_by("-opened_at", "-id")
        .distinct()[: limit * 2]
    )
    forecast = dict(
        QuoteLine.objects.filter(quote__commission__in=jobs, quote__status=QuoteStatus.ACCEPTED)
        .order_by()
        .values_list("quote__commission")
        .annotate(total=Sum("cost_minor"))
    )
    actual = dict(
        commitments(commission__in=jobs).order_by().values_list("commission").annotate(total=Sum("minor"))
    )
    found: dict[str, list[JobCost]] = {}
    for job in jobs:
        row = JobCost(commission=job, forecast=forecast.get(job.pk, 0), actual=actual.get(job.pk, 0))
        if row.forecast or row.actual:
            found.setdefault(job.currency, []).append(row)
    return {currency: rows[:limit] for currency, rows in sorted(found.items())}
