"""
The rows of every table as lines of JSON, the same for SQLite and PostgreSQL, and back.

Reading goes through the fields of the models, so that a backup of the one database can be restored into the
other. What is sealed in the database stays sealed.
"""

from __future__ import annotations

import base64
import contextlib
import datetime
import decimal
import json
import uuid
from collections.abc import Iterator

from django.apps.registry import Apps
from django.db import connection, models, transaction
from django.db.models import F, TextField
from django.db.models.functions import Cast

from studio.sealing import Sealed, SealedText

NOT_KEPT = {"sessions.session"}
"""What lets a browser in for a while; after a restore everybody signs in again."""
BATCH = 500


def models_of(apps: Apps) -> list[type[models.Model]]:
    """Every model with a table of its own, in the order of the tables' names."""
    found = [
        model
        for model in apps.get_models(include_auto_created=True)
        if model._meta.managed and not model._meta.proxy and model._meta.label_lower not in NOT_KEPT
    ]
    return sorted(found, key=lambda model: model._meta.db_table)


def columns_of(model: type[models.Model]) -> list[str]:
    """The columns of a table in an order that does not depend on the database."""
    return sorted(field.attname for field in model._meta.concrete_fields if not _computed(field))


def _computed(field) -> bool:
    return isinstance(field, models.GeneratedField)


@contextlib.contextmanager
def one_moment() -> Iterator[None]:
    """
    See the database as it is now, whatever others write meanwhile; nobody waits for us.

    SQLite: one plain reading transaction (Django's own would take the write lock here). PostgreSQL:
    REPEATABLE READ, READ ONLY.
    """
    if connection.in_atomic_block:  # somebody who calls us has chosen the moment already
        yield
    elif connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            cursor.execute("BEGIN DEFERRED")
        try:
            yield
        finally:
            with connection.cursor() as cursor:
                cursor.execute("ROLLBACK")
    else:
        with transaction.atomic():
            with connection.cursor() as cursor:
                cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY")
            yield


def lines_of(model: type[models.Model], *, columns: list[str]) -> Iterator[bytes]:
    """One line of JSON for every row, in the order of the key."""
    rows = model._base_manager.order_by("pk")
    names, sealed = [], {}
    for place, column in enumerate(columns):
        if isinstance(_field(model, column), SealedText):
            # As it lies in the table: not opened on its way into the backup.
            sealed[f"sealed_{place}"] = Cast(F(column), TextField())
            names.append(f"sealed_{place}")
        else:
            names.append(column)
    for row in rows.annotate(**sealed).values_list(*names).iterator(chunk_size=BATCH):
        yield (
            json.dumps(
                [_plain(value) for value in row], ensure_ascii=False, sort_keys=True, separators=(",", ":")
            ).encode()
            + b"\n"
        )


def _field(model: type[models.Model], column: str):
    return next(field for field in model._meta.concrete_fields if field.attname == column)


def _plain(value: object) -> object:
    if isinstance(value, datetime.datetime):
        return value.astimezone(datetime.UTC).isoformat()
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    if isinstance(value, decimal.Decimal):
        return format(value, "f")
    if isinstance(value, uuid.UUID):
        return str(value)
    if isinstance(value, (bytes, memoryview)):
        return base64.b64encode(bytes(value)).decode()
    if isinstance(value, float):
        return value + 0.0  # PostgreSQL's numbers know no nought below nought
    if isinstance(value, dict):
        return {key: _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return value


def write_rows(model: type[models.Model], *, columns: list[str], lines: list[bytes]) -> int:
    """Add rows as they were; how many."""
    fields = [_field(model, column) for column in columns]
    for field in fields:  # a time that a library sets by itself stays the time that it was
        if getattr(field, "auto_now", False) or getattr(field, "auto_now_add", False):
            field.auto_now = field.auto_now_add = False
    objects = []
    for line in lines:
        values = zip(fields, json.loads(line), strict=True)
        objects.append(model(**{field.attname: _value(field, value) for field, value in values}))
    model._base_manager.bulk_create(objects, batch_size=BATCH)
    return len(objects)


def _value(field, value: object) -> object:
    if value is None:
        return None
    if isinstance(field, SealedText):
        return Sealed(str(value))
    if isinstance(field, models.BinaryField):
        return base64.b64decode(str(value))
    while field.is_relation:
        field = field.target_field
    return value if isinstance(field, models.JSONField) else field.to_python(value)


def empty(model: type[models.Model]) -> None:
    """Take out what migrations have put into a new table; the tables that only grow have nothing in them yet."""
    if model._base_manager.exists():
        with connection.cursor() as cursor:
            cursor.execute(f"DELETE FROM {connection.ops.quote_name(model._meta.db_table)}")  # noqa: S608
