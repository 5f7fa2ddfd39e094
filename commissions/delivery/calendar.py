"""
The studio's dates as an iCalendar feed (RFC 5545): promised, stones to give back, care.

A calendar is shown on phones and to whoever shares it: no client, no address, no price stands in it, and
of a surprise nothing but its reference.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator

import icalendar

from commissions.delivery.models import CareDate
from commissions.record.models import Commission
from commissions.record.route import ROUTE, Stage, State
from commissions.sourcing.queries import memo
from studio import clock

PRODUCT = "-//Ringwright//Studio dates//EN"
MOST = 1000
"""Dates of one kind that a feed holds, the nearest first."""


def _promised() -> Iterator[tuple[str, datetime.date, Commission, str]]:
    before = [stage for stage in ROUTE if ROUTE.index(stage) < ROUTE.index(Stage.CARE)]
    rows = Commission.objects.filter(state=State.OPEN, promised_on__isnull=False, stage__in=before)
    for row in rows.order_by("promised_on", "id")[:MOST]:
        yield f"promised-{row.reference}", row.promised_on, row, "Promised"


def _memo() -> Iterator[tuple[str, datetime.date, Commission | None, str]]:
    for row in memo()[:MOST]:
        yield f"approval-{row.pk}", row.return_by, row.commission, "Stone to give back or buy"


def _care() -> Iterator[tuple[str, datetime.date, Commission, str]]:
    rows = CareDate.objects.filter(done_at__isnull=True, commission__state=State.OPEN)
    for row in rows.select_related("commission").order_by("due_on", "id")[:MOST]:
        yield f"care-{row.pk}", row.due_on, row.commission, row.words


SOURCES = (_promised, _memo, _care)
"""Where the dates come from; each gives name, day, commission and words."""


def feed() -> bytes:
    """Every open date as one all-day entry, in the form that calendars read."""
    made = icalendar.Calendar()
    made.add("prodid", PRODUCT)
    made.add("version", "2.0")
    made.add("x-wr-calname", "Studio")
    for source in SOURCES:
        for name, day, commission, words in source():
            made.add_component(_entry(name, day, commission, words))
    return made.to_ical()


def _entry(name: str, day: datetime.date, commission: Commission | None, words: str) -> icalendar.Event:
    entry = icalendar.Event()
    entry.add("uid", f"{name}@ringwright")
    entry.add("dtstamp", clock.now())
    entry.add("dtstart", day)
    entry.add("dtend", day + datetime.timedelta(days=1))
    entry.add("summary", summary_of(commission, words))
    entry.add("transp", "TRANSPARENT")
    return entry


def summary_of(commission: Commission | None, words: str) -> str:
    """The words of one entry; of a surprise the reference alone."""
    if commission is None:
        return words
    return f"Date {commission.reference}" if commission.discreet else f"{words}: {commission.reference}"
