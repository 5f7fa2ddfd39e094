"""Reads about people and ways in."""

from __future__ import annotations

import hashlib

from studio.people.models import ClientSession, Person
from studio.trail.models import Entry


def hashed(secret: str) -> str:
    """What is kept of a random secret: its SHA-256, which cannot be used to come in."""
    return hashlib.sha256(secret.encode()).hexdigest()


def session_of(*, key: str) -> ClientSession | None:
    """The client session with this key, if it has not been ended."""
    if not key:
        return None
    return (
        ClientSession.objects.select_related("access")
        .filter(key_hash=hashed(key), ended_at__isnull=True)
        .first()
    )


def staff_here():
    """Everybody of the studio, those who left last."""
    return Person.objects.order_by("-is_active", "full_name")


def trail_page(*, before: str, size: int = 50):
    """One page of the trail older than entry number *before*, and the number for the next page."""
    rows = Entry.objects.order_by("-number")
    if before.isdigit():
        rows = rows.filter(number__lt=int(before))
    rows = list(rows[: size + 1])
    return rows[:size], rows[size - 1].number if len(rows) > size else None
