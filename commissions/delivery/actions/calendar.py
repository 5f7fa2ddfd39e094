"""Writes of the key to the calendar feed."""

from __future__ import annotations

import secrets

from django.db import transaction

from commissions.delivery.models import CalendarKey
from studio import clock
from studio.people.models import Person
from studio.people.queries import hashed
from studio.trail.actions import record as write_trail


@transaction.atomic
def make_calendar_key(*, person: Person) -> str:
    """
    Make the key of the calendar feed; it is shown once, and only its digest is kept.

    Effects, in order: every earlier key ends; the new one is written; the trail says so.
    """
    end_calendar(person=person)
    key = secrets.token_urlsafe(32)
    CalendarKey.objects.create(digest=hashed(key), made_by=str(person), made_at=clock.now())
    write_trail(actor=person, verb="made the calendar's key", subject="calendar")
    return key


@transaction.atomic
def end_calendar(*, person: Person) -> int:
    """
    End every key of the calendar feed; how many ended.

    Effects, in order: the keys end if they still were good; the trail says so.
    """
    ended = CalendarKey.objects.filter(ended_at__isnull=True).update(ended_at=clock.now())
    if ended:
        write_trail(actor=person, verb="ended the calendar's key", subject="calendar")
    return ended
