"""The calendar's key ends with whoever made it: it is on their phone."""

from __future__ import annotations

from commissions.delivery.actions.calendar import end_calendar
from commissions.delivery.queries import calendar_key
from studio.people.models import Person


def end_ways(*, person: Person, by: Person) -> list[str]:
    """
    End the key of the calendar feed where they made it; what ended, in words.

    Effects: as of ``end_calendar``.
    """
    key = calendar_key()
    if key is None or key.made_by != str(person):
        return []
    end_calendar(person=by)
    return ["the key of the calendar feed"]
