"""Charts, where a look beats reading; each with its figures as a table."""

from __future__ import annotations

from babel.numbers import format_compact_decimal
from django.shortcuts import render
from django.utils.dateformat import format as written_date
from django.views.decorators.http import require_GET

from commissions.money import charts, queries
from studio.amounts import from_minor, written
from studio.people.access import staff


@staff("owner")
@require_GET
def looks(request):
    """Held over time, due by week, forecast and actual cost of each job; one chart a currency."""
    held = [_held(currency, points) for currency, points in queries.held_over_time().items()]
    due = [_due(currency, weeks) for currency, weeks in queries.due_by_week().items()]
    jobs = [_jobs(currency, rows) for currency, rows in queries.cost_per_job().items()]
    waiting = list(queries.waiting_for_event().items())
    context = {"held": held, "due": due, "jobs": jobs, "waiting": waiting}
    return render(request, "money/looks.html", context)


def _short(currency: str):
    """Sums as they are written on a chart: short, without the code, which the caption names."""

    def words(minor: int) -> str:
        amount = from_minor(minor=minor, currency=currency)
        if abs(amount) < 10_000:
            return f"{amount:,.0f}"
        return format_compact_decimal(amount, locale="en_GB", fraction_digits=1).replace("K", "k")

    return words


def _held(currency: str, points) -> dict:
    first, last = points[0], points[-1]
    says = (
        f"Held in {currency} at the end of each month, from {written(minor=first[1], currency=currency)} in "
        f"{written_date(first[0], 'F Y')} to {written(minor=last[1], currency=currency)} now."
    )
    svg = charts.steps(
        points=[(written_date(on, "M Y"), minor) for on, minor in points], says=says, words=_short(currency)
    )
    return {"currency": currency, "says": says, "svg": svg, "rows": points}


def _due(currency: str, weeks) -> dict:
    late = weeks[0].minor
    says = (
        f"{written(minor=sum(week.minor for week in weeks), currency=currency)} was asked for and is still to "
        f"come" + (f", of which {written(minor=late, currency=currency)} is overdue." if late else ".")
    )
    rows = [
        charts.Bar(
            words=written_date(week.monday, "j M") if week.monday else "late",
            minor=week.minor,
            late=week.monday is None,
        )
        for week in weeks
    ]
    return {
        "currency": currency,
        "says": says,
        "svg": charts.bars(rows=rows, says=says, words=_short(currency)),
        "rows": weeks,
    }


def _jobs(currency: str, rows) -> dict:
    over = sum(1 for row in rows if row.forecast and row.over > 0)
    says = f"{len(rows)} agreed job{'' if len(rows) == 1 else 's'} in {currency}; " + (
        "none has cost more than its forecast." if not over else f"{over} cost more than forecast so far."
    )
    svg = charts.pairs(
        rows=[
            charts.Pair(words=row.commission.reference, forecast=row.forecast, actual=row.actual)
            for row in rows
        ],
        says=says,
        words=_short(currency),
    )
    return {"currency": currency, "says": says, "svg": svg, "rows": rows}
