"""What somebody who leaves still holds, and which ways in end with them; the rooms say it, the house asks."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.utils.module_loading import import_string

from studio.people.models import Person, TakenOver


@dataclass(frozen=True, kw_only=True)
class Holding:
    """
    One thing that is in somebody's hands.

    ``path`` is where it is handed over. ``key`` is given where no page does that: then the owner notes here who
    has it now; it names the amount too, so that the note no longer counts when the amount has changed.
    """

    words: str
    path: str = ""
    key: str = ""


def holdings_of(*, person: Person) -> list[Holding]:
    """Everything a person holds that nobody has taken over yet, room by room."""
    found = [row for ask in settings.HOLDINGS for row in import_string(ask)(person=person)]
    keys = [row.key for row in found if row.key]
    taken = set(TakenOver.objects.filter(person=person, key__in=keys).values_list("key", flat=True))
    return [row for row in found if row.key not in taken]


def end_ways_of(*, person: Person, by: Person) -> list[str]:
    """
    End what a person could still come in by from outside: links and keys they made; what ended, in words.

    Effects: each room's own, in the order of ``settings.WAYS_THAT_END``.
    """
    return [words for end in settings.WAYS_THAT_END for words in import_string(end)(person=person, by=by)]
