"""
Making a backup: one sealed file that holds everything the house needs to stand again elsewhere.

Inside the seal lies a plain tar:

``backup.json``
    what it is, when it was made, how far the tables had come (migrations), the house's secret;
``tables/<table>/000001.jsonl.gz`` …
    the rows, one JSON list a line, in the order of the columns that ``backup.json`` names;
``media/…`` ``originals/…`` ``outbox/…``
    pictures and letters, as files;
``end.json``
    how many rows each table has and their SHA-256, how many files, and which went while it was made.

The tables are seen at one moment. The files are read after them: a file is written before the row that names
it, so no row of a backup lacks its file unless the file was thrown away meanwhile.
"""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import os
import tarfile
from dataclasses import dataclass, field
from pathlib import Path

from django.apps import apps
from django.conf import settings
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from studio import clock
from studio.keeping.folders import files
from studio.keeping.rows import columns_of, lines_of, models_of, one_moment
from studio.keeping.sealed_file import SealedWriter

EDITION = 1
CHUNK_BYTES = 1024 * 1024
LEAST_PASSPHRASE = 12


class CannotKeep(Exception):
    """Nothing was made; the words say why."""


@dataclass
class Made:
    """What a backup holds."""

    tables: dict[str, dict] = field(default_factory=dict)
    files: int = 0
    bytes: int = 0
    gone: list[str] = field(default_factory=list)

    @property
    def rows(self) -> int:
        return sum(table["rows"] for table in self.tables.values())


def check_passphrase(passphrase: str) -> None:
    """
    Refuse a passphrase that is too easy to guess.

    Raises:
        CannotKeep: it has fewer than twelve signs.
    """
    if len(passphrase) < LEAST_PASSPHRASE:
        raise CannotKeep(
            f"The passphrase needs at least {LEAST_PASSPHRASE} signs; four or five words are good."
        )


def back_up(*, to: Path, passphrase: str) -> Made:
    """
    Make a backup while the house goes on working.

    Effects, in order: the sealed file is written beside its place under a name of its own, readable by its
    user alone; it is brought to the disk; it takes its place.

    Raises:
        CannotKeep: a file is there already, the passphrase is too short, or the tables are not of this edition.
    """
    check_passphrase(passphrase)
    if to.exists():
        raise CannotKeep(f"{to} is there already: a backup never overwrites another.")
    if not to.parent.is_dir():
        raise CannotKeep(f"There is no folder {to.parent}.")
    executor = MigrationExecutor(connection)
    leaves = executor.loader.graph.leaf_nodes()
    if executor.migration_plan(leaves):
        raise CannotKeep("The tables are older than this program. Run: manage.py migrate")
    part = to.with_name(f".{to.name}.part")
    made = Made()
    try:
        descriptor = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            seal = SealedWriter(file, passphrase=passphrase)
            with tarfile.open(fileobj=seal, mode="w|", format=tarfile.PAX_FORMAT) as tar:
                _fill(tar, made, head=_head(leaves))
            seal.finish()
            file.flush()
            os.fsync(file.fileno())
        part.replace(to)
    finally:
        part.unlink(missing_ok=True)
    return made


def _head(leaves) -> dict:
    return {
        "what": "a backup of Ringwright",
        "edition": EDITION,
        "made_at": clock.now().isoformat(),
        "database": connection.vendor,
        "migrations": dict(sorted(leaves)),
        "secret": settings.SECRET_KEY,
        "former_secrets": list(settings.SECRET_KEY_FALLBACKS),
        "tables": {
            model._meta.db_table: {"model": model._meta.label_lower, "columns": columns_of(model)}
            for model in models_of(apps)
        },
    }


def _fill(tar: tarfile.TarFile, made: Made, *, head: dict) -> None:
    _add(tar, "backup.json", json.dumps(head, indent=1).encode())
    with one_moment():
        for model in models_of(apps):
            made.tables[model._meta.db_table] = _add_rows(tar, model)
    for name, path in files():
        try:
            body = path.read_bytes()
        except FileNotFoundError:
            made.gone.append(name)
            continue
        _add(tar, name, body)
        made.files += 1
        made.bytes += len(body)
    end = {"tables": made.tables, "files": made.files, "bytes": made.bytes, "gone": made.gone}
    _add(tar, "end.json", json.dumps(end, indent=1).encode())


def _add_rows(tar: tarfile.TarFile, model) -> dict:
    name, digest, rows, chunk, number = model._meta.db_table, hashlib.sha256(), 0, io.BytesIO(), 0

    def close() -> None:
        nonlocal number
        number += 1
        _add(tar, f"tables/{name}/{number:06}.jsonl.gz", gzip.compress(chunk.getvalue(), 6, mtime=0))
        chunk.seek(0)
        chunk.truncate()

    for line in lines_of(model, columns=columns_of(model)):
        digest.update(line)
        chunk.write(line)
        rows += 1
        if chunk.tell() >= CHUNK_BYTES:
            close()
    if chunk.tell():
        close()
    return {"rows": rows, "sha256": digest.hexdigest()}


def _add(tar: tarfile.TarFile, name: str, body: bytes) -> None:
    member = tarfile.TarInfo(name)
    member.size, member.mode = len(body), 0o600
    tar.addfile(member, io.BytesIO(body))
    tar.members = []  # otherwise every name would be held until the end
