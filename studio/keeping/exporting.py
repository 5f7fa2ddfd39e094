"""
Everything in open formats: each table as CSV and as JSON lines, a description of every column, every file.

An export is read by people and other programs; a backup is what a house stands up again from. Nothing lets
anybody in by it: hashes of passwords, keys and codes are left out.
"""

from __future__ import annotations

import csv
import io
import json
import zipfile
from collections.abc import Iterable, Iterator
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.core.serializers.json import DjangoJSONEncoder
from django.db import models

from studio import clock
from studio.keeping.backing_up import CannotKeep
from studio.keeping.folders import files
from studio.keeping.rows import NOT_KEPT, columns_of, models_of, one_moment

WAYS_IN = NOT_KEPT | {
    "otp_totp.totpdevice",
    "people.onetimecode",
    "people.recoverycode",
    "people.staffsession",
}
SECRETS = {
    "key_hash",
    "link_hash",
    "passphrase",
    "password",
    "previous_hash",
    "token",
    "token_hash",
}
"""Columns that are left out wherever they stand."""


class Target:
    """A folder or a zip that is being filled, file by file."""

    def __init__(self, path: Path):
        self._zip = None
        self._folder = path
        if path.suffix == ".zip":
            if path.exists():
                raise CannotKeep(f"{path} is there already: an export never overwrites another.")
            self._zip = zipfile.ZipFile(path, "x", zipfile.ZIP_DEFLATED)  # closed by close()
            path.chmod(0o600)
        elif path.exists() and any(path.iterdir()):
            raise CannotKeep(f"{path} is not empty: an export never overwrites another.")
        else:
            path.mkdir(parents=True, exist_ok=True, mode=0o700)

    def put(self, name: str, pieces: Iterable[bytes]) -> None:
        """Write one file from its pieces."""
        if self._zip is not None:
            with self._zip.open(name, "w", force_zip64=True) as file:
                for piece in pieces:
                    file.write(piece)
            return
        place = self._folder / name
        place.parent.mkdir(parents=True, exist_ok=True)
        with place.open("xb") as file:
            for piece in pieces:
                file.write(piece)

    def close(self) -> None:
        """Finish a zip."""
        if self._zip is not None:
            self._zip.close()


def export(*, to: Path, more: dict[str, Iterable[str]]) -> dict[str, int]:
    """
    Export everything; how many rows each table has.

    Effects, in order: the tables are written as they were at one moment, each as CSV and as JSON lines;
    *more* is written, such as the ledger for accountants; every file is copied; README.txt says what is what.

    Raises:
        CannotKeep: something is there already.
    """
    target, counts = Target(to), {}
    try:
        with one_moment():
            for model in _exported():
                table, columns = model._meta.db_table, _columns(model)
                target.put(f"tables/{table}.jsonl", _json_lines(model, columns))
                counts[table] = 0
                target.put(f"tables/{table}.csv", _counted(_csv_lines(model, columns), counts, table))
            for name, lines in more.items():
                target.put(name, (line.encode() for line in lines))
        for name, path in files():
            if path.exists():
                target.put(f"files/{name}", iter([path.read_bytes()]))
        target.put("README.txt", iter([_read_me(counts).encode()]))
    finally:
        target.close()
    return counts


def _exported() -> list[type[models.Model]]:
    return [model for model in models_of(apps) if model._meta.label_lower not in WAYS_IN]


def _columns(model) -> list[str]:
    return [column for column in columns_of(model) if column not in SECRETS]


def _rows(model, columns: list[str]) -> Iterator[tuple]:
    return model._base_manager.order_by("pk").values_list(*columns).iterator(chunk_size=500)


def _json_lines(model, columns: list[str]) -> Iterator[bytes]:
    for row in _rows(model, columns):
        body = dict(zip(columns, row, strict=True))
        yield json.dumps(body, cls=DjangoJSONEncoder, ensure_ascii=False).encode() + b"\n"


def _csv_lines(model, columns: list[str]) -> Iterator[bytes]:
    yield _csv(columns)
    for row in _rows(model, columns):
        yield _csv([_cell(value) for value in row])


def _counted(lines: Iterator[bytes], counts: dict[str, int], table: str) -> Iterator[bytes]:
    yield next(lines)
    for line in lines:
        counts[table] += 1
        yield line


def _csv(values: list) -> bytes:
    line = io.StringIO()
    csv.writer(line, lineterminator="\r\n").writerow(values)
    return line.getvalue().encode()


def _cell(value: object) -> object:
    if isinstance(value, (dict, list)):
        return json.dumps(value, cls=DjangoJSONEncoder, ensure_ascii=False)
    if hasattr(value, "isoformat"):
        return value.isoformat()
    if isinstance(value, str) and value[:1] in ("=", "+", "-", "@", "\t", "\r"):
        return f"'{value}"  # a spreadsheet would take it for a formula
    return "" if value is None else value


def _read_me(counts: dict[str, int]) -> str:
    lines = [
        f"Everything of {settings.STUDIO_NAME}, exported on {clock.now():%Y-%m-%d %H:%M} UTC.",
        "",
        "tables/   every table twice: .jsonl (one JSON object a line, exact) and .csv (for spreadsheets;",
        "          a text that would be taken for a formula has an apostrophe before it)",
        "ledger/   the ledger as CSV and as plain-text double entry in the syntax of beancount",
        "files/    media: pictures made and papers sent; originals: pictures as they came; outbox: letters",
        "",
        "Sums are whole numbers of the smallest unit of their currency (columns *_minor), lengths hundredths of",
        "a millimetre (*_hmm), stones thousandths of a carat (*_mct), metal milligrams (*_mg). Times are UTC.",
        "Left out: whatever lets anybody in (passwords, codes, keys, sessions).",
        "",
    ]
    for model in _exported():
        lines += ["", f"{model._meta.db_table} ({counts[model._meta.db_table]} rows)"]
        about = (model.__doc__ or "").strip().splitlines()
        if about and not about[0].startswith(f"{model.__name__}("):
            lines.append(f"  {about[0]}")
        lines += [f"    {_about(field)}" for field in _fields(model)]
    return "\n".join(lines) + "\n"


def _fields(model) -> list[models.Field]:
    kept = set(_columns(model))
    return sorted(
        (field for field in model._meta.concrete_fields if field.attname in kept),
        key=lambda field: field.attname,
    )


def _about(field: models.Field) -> str:
    words = f"{field.attname}: {field.get_internal_type()}"
    if field.is_relation:
        words = f"{field.attname}: a row of {field.related_model._meta.db_table}"
    if field.choices:
        words += f"; {', '.join(f'{value} = {label}' for value, label in field.flatchoices)}"
    if field.help_text:
        words += f"; {field.help_text}"
    elif field.verbose_name.replace(" ", "_") not in (field.name, field.attname):
        words += f"; {field.verbose_name}"
    return words
