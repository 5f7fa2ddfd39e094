"""Who tells, when, and the words a client agrees to."""

from __future__ import annotations

import datetime
from contextlib import contextmanager
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.conf import settings

from studio import clock
from studio.people.models import Person

CONSENT = (
    "I have read the design, the stones, the price, the plan of payment and the terms shown on this page, and I "
    "order this ring with the obligation to pay. It is made to my own specification, so there is no right to "
    "withdraw once it is agreed."
)


@contextmanager
def on(day: str, hour: str = "10:00"):
    """Let the clock stand at this hour of this day in the studio's zone."""
    instant = datetime.datetime.fromisoformat(f"{day}T{hour}").replace(tzinfo=ZoneInfo(settings.TIME_ZONE))
    with clock.standing_at(instant.astimezone(datetime.UTC)):
        yield


@dataclass
class Cast:
    """The three of the workshop."""

    owner: Person
    jeweller: Person
    setter: Person
