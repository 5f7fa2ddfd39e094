"""Slowing down whoever guesses: a growing wait, never a lock that a stranger could set for somebody else."""

from __future__ import annotations

from django.core.cache import cache

from studio.people.queries import hashed

WINDOW_SECONDS = 15 * 60


def too_many(*, what: str, who: str, limit: int, window_seconds: int = WINDOW_SECONDS) -> bool:
    """
    Count one attempt of *who* at *what* and say whether there have been more than *limit* in the window.

    Only a hash of *who* (an address, a session, an e-mail address) is kept.
    """
    key = f"throttle:{what}:{hashed(who)}"
    cache.add(key, 0, timeout=window_seconds)
    try:
        return cache.incr(key) > limit
    except ValueError:  # it ran out between the two calls
        return False


def forget(*, what: str, who: str) -> None:
    """Forget the attempts of *who*, after one that was right."""
    cache.delete(f"throttle:{what}:{hashed(who)}")
