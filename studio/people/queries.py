"""Reads about people and ways in."""

from __future__ import annotations

import hashlib

from studio.people.models import ClientSession


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
