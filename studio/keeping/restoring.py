"""Restoring a backup into an empty house, after it has been proven whole."""

from __future__ import annotations

import gzip
import hashlib
import io
import json
import os
import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from django.conf import settings
from django.core.management import call_command
from django.core.management.color import no_style
from django.db import connection, transaction
from django.db.migrations.executor import MigrationExecutor

from studio.keeping.backing_up import EDITION
from studio.keeping.folders import folders, place_of
from studio.keeping.rows import empty, lines_of, models_of, write_rows
from studio.keeping.sealed_file import SealBroken, SealedReader
from studio.trail.queries import first_break


class CannotRestore(Exception):
    """The words say why, and whether anything was written."""


@dataclass(frozen=True, kw_only=True)
class Contents:
    """What a backup says of itself: its head and its end."""

    head: dict
    end: dict

    @property
    def rows(self) -> int:
        return sum(table["rows"] for table in self.end["tables"].values())


@contextmanager
def _opened(path: Path, passphrase: str) -> Iterator[tarfile.TarFile]:
    try:
        with path.open("rb") as file:
            seal = io.BufferedReader(SealedReader(file, passphrase=passphrase), 1024 * 1024)
            with tarfile.open(fileobj=seal, mode="r|") as tar:
                yield tar
            while seal.read(1024 * 1024):  # to the very end, which alone proves that nothing was cut off
                pass
    except FileNotFoundError:
        raise CannotRestore(f"There is no file {path}.") from None
    except (SealBroken, tarfile.TarError, EOFError) as error:
        raise CannotRestore(str(error)) from error


def _members(tar: tarfile.TarFile) -> Iterator[tuple[str, bytes]]:
    while (member := tar.next()) is not None:
        tar.members = []  # otherwise every name would be held until the end
        body = tar.extractfile(member)
        if not member.isreg() or body is None:
            raise CannotRestore(f"The backup holds {member.name}, which is no plain file.")
        yield member.name, body.read()


def look_through(*, path: Path, passphrase: str) -> Contents:
    """
    Read a backup from its first byte to its last and prove that every piece of it is whole; nothing is written.

    Raises:
        CannotRestore: no such file, a wrong passphrase, a damaged or shortened file, or a later edition.
    """
    head = end = None
    files = 0
    with _opened(path, passphrase) as tar:
        for name, body in _members(tar):
            if name == "backup.json":
                head = json.loads(body)
            elif name == "end.json":
                end = json.loads(body)
            elif not name.startswith("tables/"):
                if place_of(name) is None:
                    raise CannotRestore(f"The backup holds a file for a place that is not ours: {name}")
                files += 1
    if head is None or end is None or end["files"] != files:
        raise CannotRestore("This backup is not complete.")
    if head["edition"] > EDITION:
        raise CannotRestore(
            "This backup was made by a later edition of the program. Update the program first."
        )
    return Contents(head=head, end=end)


def restore(*, path: Path, passphrase: str) -> Contents:
    """
    Put a backup into an empty house.

    Effects, in order: the whole backup is read and proven; the house is found empty; the tables are made as far
    as the backup had come; rows and files are written, the rows in one piece, and read back: every table has to
    be what it was; the tables are brought up to this program; the trail's chain is proven; the house's secret
    is kept in the data folder where it is not given by the environment.

    Raises:
        CannotRestore: with words; where the house was not empty, or the backup is not whole, nothing was written.
    """
    contents = look_through(path=path, passphrase=passphrase)
    _refuse_unless_empty()
    executor = MigrationExecutor(connection)
    targets = sorted(contents.head["migrations"].items())
    unknown = [f"{app} {name}" for app, name in targets if (app, name) not in executor.loader.graph.nodes]
    if unknown:
        raise CannotRestore(
            f"This backup knows steps of the tables that this program does not ({', '.join(unknown)}). "
            "Restore it with the program that made it, or a later one."
        )
    executor.migrate(targets)
    then = executor.loader.project_state(targets).apps
    try:
        with transaction.atomic():
            _write(path, passphrase, contents, then)
    except Exception as error:
        raise CannotRestore(
            f"It was not restored ({error}). The rows were taken back; empty the data folder and the database "
            "before you try again."
        ) from error
    call_command("migrate", interactive=False, verbosity=0)
    broken = first_break()
    if broken is not None:
        raise CannotRestore(f"Everything was restored, but the trail does not hold at entry {broken}.")
    return contents


def _refuse_unless_empty() -> None:
    tables = connection.introspection.table_names()
    if tables:
        raise CannotRestore(
            f"The database has {len(tables)} tables already. A backup is only restored into an empty house: name "
            "another folder in RINGWRIGHT_DATA, or an empty database."
        )
    for folder in folders().values():
        if folder.is_dir() and any(folder.iterdir()):
            raise CannotRestore(f"{folder} is not empty. A backup is only restored into an empty house.")


def _write(path: Path, passphrase: str, contents: Contents, then) -> None:
    by_table = {model._meta.db_table: model for model in models_of(then)}
    tables = contents.head["tables"]
    for model in by_table.values():
        empty(model)
    with _opened(path, passphrase) as tar:
        for name, body in _members(tar):
            if name.startswith("tables/"):
                table = name.split("/")[1]
                lines = gzip.decompress(body).splitlines()
                write_rows(by_table[table], columns=tables[table]["columns"], lines=lines)
            elif name not in ("backup.json", "end.json"):
                _put(place_of(name), body)
    for table, expected in contents.end["tables"].items():
        digest, rows = hashlib.sha256(), 0
        for line in lines_of(by_table[table], columns=tables[table]["columns"]):
            digest.update(line)
            rows += 1
        if rows != expected["rows"] or digest.hexdigest() != expected["sha256"]:
            raise CannotRestore(f"the table {table} reads back differently")
    with connection.cursor() as cursor:
        for statement in connection.ops.sequence_reset_sql(no_style(), list(by_table.values())):
            cursor.execute(statement)


def _put(place: Path | None, body: bytes) -> None:
    if place is None:
        raise CannotRestore("a file has no place")
    place.parent.mkdir(parents=True, exist_ok=True)
    descriptor = os.open(place, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as file:
        file.write(body)


def keep_secret(*, contents: Contents) -> str:
    """
    See to it that what was sealed can be read again; what is left to do, in words, or nothing.

    Effects: where the house keeps its own secret in the data folder, the backup's takes its place; where the
    environment gives another, the backup's is kept beside it for whoever runs the house.
    """
    secret = contents.head["secret"]
    if secret == settings.SECRET_KEY:
        return ""
    own = settings.DATA_DIR / "secret-key"
    if own.exists() and own.read_text(encoding="ascii").strip() == settings.SECRET_KEY:
        own.unlink()
        _put(own, secret.encode())
        return ""
    kept = settings.DATA_DIR / "secret-key-of-the-backup"
    kept.unlink(missing_ok=True)
    _put(kept, secret.encode())
    return (
        "This house was given another secret than the one of the backup. What was sealed with the former one "
        f"(addresses) is read again once RINGWRIGHT_SECRET_KEY_FALLBACKS names it; it was written to {kept}."
    )
