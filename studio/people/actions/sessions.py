"""Writes about the browsers in which the studio's people are signed in."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.contrib.sessions.models import Session
from django.core.cache import cache
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from studio import clock
from studio.people.models import ClientSession, Person, StaffSession
from studio.people.queries import device_words, hashed
from studio.trail.actions import record as write_trail

ENDED_SESSION_DAYS = 30
"""How long a client's session is kept after its end, so that a question about it can be answered."""


def begin_session(*, person: Person, key: str, agent: str) -> None:
    """Note the browser in which a person has just signed in; only its kind is kept, nothing finer."""
    now = clock.now()
    StaffSession.objects.update_or_create(
        session_key=key,
        defaults={"person": person, "device": device_words(agent), "began_at": now, "seen_at": now},
    )


def keep_session(*, person: Person, key: str, agent: str) -> None:
    """Note that a browser is in use, at most once a minute; one that was not noted yet is noted now."""
    if not cache.add(f"staff-seen:{hashed(key)}", 1, timeout=60):
        return
    if not StaffSession.objects.filter(session_key=key, person=person).update(seen_at=clock.now()):
        begin_session(person=person, key=key, agent=agent)


@transaction.atomic
def end_session(*, person: Person, pk: int, by: Person) -> bool:
    """
    End one browser's session of a person; False where it is not theirs.

    Effects, in order: the session goes, so that its next request is signed out; the trail says so.
    """
    row = StaffSession.objects.filter(pk=pk, person=person).first()
    if row is None:
        return False
    Session.objects.filter(session_key=row.session_key).delete()
    row.delete()
    write_trail(actor=by, verb="ended a session", subject=f"person:{person.pk}", facts={"device": row.device})
    return True


def end_sessions(*, person: Person, keep: str = "") -> int:
    """End every browser session of one person except the one with the key *keep*; how many there were."""
    ended = 0
    for session in Session.objects.exclude(session_key=keep).iterator():
        if session.get_decoded().get("_auth_user_id") == str(person.pk):
            session.delete()
            ended += 1
    StaffSession.objects.filter(person=person).exclude(session_key=keep).delete()
    return ended


def forget_old_sessions() -> int:
    """
    Remove browser sessions that have run out, and clients' sessions that ended a month ago; how many went.

    Effects, in order: Django's own rows; our notes of them; the clients' sessions.
    """
    now = clock.now()
    # Django counts a session's end in the machine's time, whatever day the house has.
    gone = Session.objects.filter(expire_date__lt=timezone.now()).delete()[0]
    oldest = now - datetime.timedelta(seconds=settings.SESSION_COOKIE_AGE)
    gone += StaffSession.objects.filter(seen_at__lt=oldest).delete()[0]
    month = now - datetime.timedelta(days=ENDED_SESSION_DAYS)
    gone += ClientSession.objects.filter(
        Q(ended_at__lt=month)
        | Q(ended_at__isnull=True, began_at__lt=month - datetime.timedelta(days=settings.CLIENT_SESSION_DAYS))
    ).delete()[0]
    return gone
