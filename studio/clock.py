"""
The one clock of the house.

Every room asks this clock and never the machine, so that the demo workshop can live on its own day:
its clock is shifted by a fixed offset and runs on from there.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from zoneinfo import ZoneInfo

from django.conf import settings

_standing: ContextVar[datetime.datetime | None] = ContextVar("standing", default=None)


@contextmanager
def standing_at(instant: datetime.datetime) -> Iterator[None]:
    """Let the clock stand at *instant*, for writing what happened on an earlier day of the demo workshop."""
    token = _standing.set(instant)
    try:
        yield
    finally:
        _standing.reset(token)


def now() -> datetime.datetime:
    """Present instant, aware, UTC."""
    standing = _standing.get()
    if standing is not None:
        return standing
    return datetime.datetime.now(tz=datetime.UTC) + datetime.timedelta(seconds=settings.CLOCK_OFFSET_SECONDS)


def today() -> datetime.date:
    """Present date in the studio's own zone."""
    return now().astimezone(ZoneInfo(settings.TIME_ZONE)).date()


def add_working_days(start: datetime.date, days: int) -> datetime.date:
    """The date *days* working days (Monday to Friday) after *start*; public holidays are not known."""
    date = start
    while days > 0:
        date += datetime.timedelta(days=1)
        if date.weekday() < 5:
            days -= 1
    return date


def working_day(date: datetime.date) -> datetime.date:
    """*date* itself, or the Monday after it: what comes in at a weekend counts from then."""
    return date + datetime.timedelta(days=max(0, 7 - date.weekday()) if date.weekday() >= 5 else 0)
