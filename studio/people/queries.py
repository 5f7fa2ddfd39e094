"""Reads about people and ways in."""

from __future__ import annotations

import datetime
import hashlib
import hmac

from django.conf import settings
from django.contrib.sessions.models import Session
from django.db.models import Q

from studio import clock
from studio.people.models import ClientAccess, ClientSession, OneTimeCode, Person, StaffSession


def hashed(secret: str) -> str:
    """What is kept of a random secret: its SHA-256, which cannot be used to come in."""
    return hashlib.sha256(secret.encode()).hexdigest()


def hashed_short(*, short: str, browser_hash: str) -> str:
    """What is kept of a short code: an HMAC under the house's secret, bound to the browser that asked."""
    body = f"{browser_hash}:{short}".encode()
    return hmac.new(settings.SECRET_KEY.encode(), body, hashlib.sha256).hexdigest()


def newest_of_browser(*, door: str, browser: str) -> OneTimeCode | None:
    """The last code this browser asked for at this door, whatever became of it."""
    return OneTimeCode.objects.filter(door=door, browser_hash=hashed(browser)).order_by("-id").first()


def client_letter(*, email: str) -> dict | None:
    """How a letter to the client with this address has to read; None where there is no such client."""
    access = access_of(email=email)
    return None if access is None else {"language": access.language, "discreet": access.discreet}


def access_of(*, email: str) -> ClientAccess | None:
    """The way in that belongs to this address, whatever its case."""
    return ClientAccess.objects.filter(email=email.strip().lower()).first()


def _live_sessions():
    now = clock.now()
    return ClientSession.objects.filter(
        ended_at__isnull=True,
        seen_at__gt=now - datetime.timedelta(minutes=settings.CLIENT_IDLE_MINUTES),
        began_at__gt=now - datetime.timedelta(days=settings.CLIENT_SESSION_DAYS),
    )


def session_of(*, key: str) -> ClientSession | None:
    """
    The client session with this key, if it has neither been ended nor lain idle too long.

    A key that has just been changed stays good for a minute, for requests that were under way.
    """
    if not key:
        return None
    key_hash = hashed(key)
    just_changed = Q(previous_hash=key_hash, changed_at__gt=clock.now() - datetime.timedelta(minutes=1))
    return _live_sessions().select_related("access").filter(Q(key_hash=key_hash) | just_changed).first()


def devices_of(*, access: ClientAccess):
    """The devices on which a client is signed in, last seen first."""
    return _live_sessions().filter(access=access).order_by("-seen_at")


_BROWSERS = [
    ("Edg/", "Edge"),
    ("OPR/", "Opera"),
    ("Firefox/", "Firefox"),
    ("Chrome/", "Chrome"),
    ("Safari/", "Safari"),
]
_SYSTEMS = [
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Mac OS X", "Mac"),
    ("CrOS", "ChromeOS"),
    ("Linux", "Linux"),
]


def device_words(agent: str) -> str:
    """A device in words a client recognises, such as ``Firefox on Android``; nothing finer is kept."""
    browser = next((words for mark, words in _BROWSERS if mark in agent), "A browser")
    system = next((words for mark, words in _SYSTEMS if mark in agent), "")
    return f"{browser} on {system}" if system else browser


def staff_here():
    """Everybody of the studio, those who left last."""
    return Person.objects.order_by("-is_active", "full_name")


def sessions_of(*, person: Person):
    """The browsers in which a person of the studio is signed in, last seen first."""
    return StaffSession.objects.filter(
        person=person, session_key__in=Session.objects.values("session_key")
    ).order_by("-seen_at", "-id")


def may_take_over(*, person: Person):
    """Whoever is here and can take over what *person* holds."""
    return Person.objects.filter(is_active=True).exclude(pk=person.pk).order_by("full_name")
