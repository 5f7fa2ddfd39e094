"""Reading the trail and proving that nobody has changed it."""

from __future__ import annotations

from studio.trail.actions import ORIGIN, digest_of
from studio.trail.models import Entry


def about(*, subject: str):
    """Entries about one subject, newest first."""
    return Entry.objects.filter(subject=subject).order_by("-number")


def first_break() -> int | None:
    """Number of the first entry whose digest or link does not hold, or None when the whole chain holds."""
    previous, expected = ORIGIN, 1
    for entry in Entry.objects.order_by("number").iterator(chunk_size=500):
        if entry.number != expected or entry.previous != previous:
            return entry.number
        made = digest_of(
            number=entry.number,
            at=entry.at.isoformat(),
            actor=entry.actor,
            verb=entry.verb,
            subject=entry.subject,
            facts=entry.facts,
            previous=entry.previous,
        )
        if made != entry.digest:
            return entry.number
        previous, expected = entry.digest, expected + 1
    return None
