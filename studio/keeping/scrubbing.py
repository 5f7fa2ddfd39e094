"""Replacing a name by a mark wherever words are kept, also in the tables that only grow; no fact is changed."""

from __future__ import annotations

import contextlib
import json
import logging
import re
from collections.abc import Iterator
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import OperationalError, connection, models
from django.db.models import Q, TextField
from django.db.models.functions import Cast

from studio.guards import names_give_way
from studio.sealing import SealedText

log = logging.getLogger(__name__)
NEVER = {"trail.entry"}
"""The chain holds no name (see ``trail.actions.record``) and would break."""
LEAST_PART = 3
"""Parts of a name with fewer letters stand in too many other words."""


def parts_of(name: str) -> list[str]:
    """The words of a name that tell who it is, such as first name and family name."""
    return [part for part in re.split(r"[\s,]+", name) if len(part.strip(".")) >= LEAST_PART]


def _pattern(needles: list[str], *, whole: bool) -> re.Pattern:
    ordered = sorted({needle for needle in needles if needle.strip()}, key=len, reverse=True)
    edge = r"\b" if whole else ""
    return re.compile("|".join(f"{edge}{re.escape(needle)}{edge}" for needle in ordered), re.IGNORECASE)


def replaced(value: object, *, pattern: re.Pattern, mark: str) -> object:
    """*value* with every match replaced; also inside the lists and tables of a JSON column."""
    if isinstance(value, str):
        return pattern.sub(lambda _match: mark, value)
    if isinstance(value, list):
        return [replaced(inner, pattern=pattern, mark=mark) for inner in value]
    if isinstance(value, dict):
        return {key: replaced(inner, pattern=pattern, mark=mark) for key, inner in value.items()}
    return value


def _word_fields(model: type[models.Model]) -> list[models.Field]:
    return [
        field
        for field in model._meta.concrete_fields
        if isinstance(field, (models.CharField, models.TextField, models.JSONField))
        and not isinstance(field, SealedText)
        and not field.choices
        and not field.primary_key
        and f"{model._meta.label_lower}.{field.name}" not in settings.FINGERPRINTED
    ]


def _rows(model, fields, needles: list[str], narrowed: Q | None) -> Iterator[tuple]:
    held, columns = Q(), {}
    for field in fields:
        name = field.attname
        if isinstance(field, models.JSONField):
            columns[f"{name}_as_text"] = Cast(name, TextField())
            name = f"{name}_as_text"
        for needle in needles:
            # Inside JSON some letters stand as \\u00e9 on one of the databases.
            for written in {needle, json.dumps(needle)[1:-1]}:
                held |= Q(**{f"{name}__icontains": written})
    rows = model._base_manager.annotate(**columns).filter(held)
    if narrowed is not None:
        rows = rows.filter(narrowed)
    yield from rows.values_list("pk", *(field.attname for field in fields)).order_by("pk").iterator(500)


def scrub(
    *, needles: list[str], mark: str, whole: bool = False, only: dict[str, Q] | None = None
) -> dict[str, int]:
    """
    Replace every one of *needles* by *mark* in the words of every table; how many rows of which table.

    Args:
        whole: match whole words alone, for parts of a name.
        only: models by label, each with the condition that narrows it to somebody's own rows; else all rows.
    """
    needles = [needle for needle in needles if needle.strip()]
    if not needles:
        return {}
    pattern, changed = _pattern(needles, whole=whole), {}
    for model in apps.get_models():
        label, fields = model._meta.label_lower, _word_fields(model)
        if label in NEVER or not fields or (only is not None and label not in only):
            continue
        rows = list(_rows(model, fields, needles, only[label] if only is not None else None))
        count = _write(model, fields, rows, pattern=pattern, mark=mark)
        if count:
            changed[label] = count
    return changed


def _write(model, fields, rows, *, pattern, mark) -> int:
    count = 0
    guard = names_give_way(model._meta.db_table) if rows else contextlib.nullcontext()
    with guard:
        for pk, *values in rows:
            columns = {}
            for field, value in zip(fields, values, strict=True):
                new = replaced(value, pattern=pattern, mark=mark)
                if new != value:
                    limit = getattr(field, "max_length", None)
                    columns[field.attname] = new[:limit] if isinstance(new, str) and limit else new
            if columns:
                count += model._base_manager.filter(pk=pk).update(**columns)
    return count


def remove_letter_files(*, email: str) -> int:
    """Remove the files of the local outbox that went to *email*; how many."""
    gone = 0
    for path in Path(settings.OUTBOX_DIR).glob("*.eml"):
        with path.open("rb") as file:
            head = file.read(16_384).partition(b"\r\n\r\n")[0].decode(errors="replace")
        if email.casefold() in head.casefold():
            path.unlink(missing_ok=True)
            gone += 1
    return gone


def overwrite_remains() -> bool:
    """
    Have SQLite write its file anew, so that nothing of removed rows is left in it; False where it is busy.

    PostgreSQL does so by itself in time (autovacuum), as far as a file system forgets at all.
    """
    if connection.vendor != "sqlite" or connection.in_atomic_block:
        return False
    try:
        with connection.cursor() as cursor:
            cursor.execute("VACUUM")
            cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except OperationalError:
        log.warning("The database file was busy and could not be written anew: run VACUUM when it is not.")
        return False
    return True
