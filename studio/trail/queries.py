"""Reading the trail and proving that nobody has changed it."""

from __future__ import annotations

import datetime
from collections.abc import Iterator
from dataclasses import dataclass

from django.db.models import QuerySet

from studio.trail.actions import ORIGIN, digest_of
from studio.trail.models import Entry, Proof
from studio.trail.naming import Name, names_of

PAGE = 50


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


def asked_for(
    *,
    who: str = "",
    verb: str = "",
    subject: str = "",
    first: datetime.date | None = None,
    last: datetime.date | None = None,
    zone: datetime.tzinfo = datetime.UTC,
) -> QuerySet[Entry]:
    """Entries as they were asked for: by whom, what, about what, from day to day."""
    rows = Entry.objects.all()
    if who:
        rows = rows.filter(actor__icontains=who)
    if verb:
        rows = rows.filter(verb=verb)
    if subject:
        rows = rows.filter(subject__iexact=subject)
    if first:
        rows = rows.filter(at__gte=datetime.datetime.combine(first, datetime.time.min, zone))
    if last:
        end = last + datetime.timedelta(days=1)
        rows = rows.filter(at__lt=datetime.datetime.combine(end, datetime.time.min, zone))
    return rows


def verbs() -> list[str]:
    """Everything that has ever been done, in words."""
    return list(Entry.objects.order_by("verb").values_list("verb", flat=True).distinct())


@dataclass(frozen=True, kw_only=True)
class Row:
    """One entry as it is read."""

    entry: Entry
    who: Name
    about: Name
    facts: list[tuple[str, str]]


def page_of(*, rows: QuerySet[Entry], before: str = "") -> tuple[list[Row], int | None]:
    """One page of entries, newest first, older than number *before*; and the number for the next page."""
    rows = rows.order_by("-number")
    if before.isdigit():
        rows = rows.filter(number__lt=int(before))
    entries = list(rows[: PAGE + 1])
    older = entries[PAGE - 1].number if len(entries) > PAGE else None
    return readable(entries[:PAGE]), older


def readable(entries: list[Entry]) -> list[Row]:
    """Entries with the names of people and pieces, and their facts in words."""
    names = names_of([key for entry in entries for key in (entry.actor, entry.subject)])
    return [
        Row(
            entry=entry,
            who=names.get(entry.actor, Name(words=entry.actor)),
            about=names.get(entry.subject, Name(words=entry.subject)),
            facts=[(name.replace("_", " "), in_words(value)) for name, value in entry.facts.items()],
        )
        for entry in entries
    ]


def in_words(value: object) -> str:
    """One fact as it is read: yes and no, lists with commas, nothing as a dash."""
    if value is None or value in ("", []):
        return "–"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return ", ".join(in_words(inner) for inner in value)
    if isinstance(value, dict):
        return ", ".join(f"{key}: {in_words(inner)}" for key, inner in value.items())
    text = str(value)
    return f"{text[:12]}…" if len(text) == 64 and text.isalnum() else text


def as_kept(rows: QuerySet[Entry]) -> Iterator[dict]:
    """Entries as they stand, oldest first: with every link of the chain, so that others can prove it too."""
    for entry in rows.order_by("number").iterator(chunk_size=500):
        yield {
            "number": entry.number,
            "at": entry.at.isoformat(),
            "actor": entry.actor,
            "verb": entry.verb,
            "subject": entry.subject,
            "facts": entry.facts,
            "previous": entry.previous,
            "digest": entry.digest,
        }


def last_proof() -> Proof | None:
    """When the chain was proven last, and what came out."""
    return Proof.objects.order_by("-id").first()
