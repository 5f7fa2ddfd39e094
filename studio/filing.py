"""Files that are written once and read for years: papers as they were handed out, under random names."""

from __future__ import annotations

import hashlib
import os
import secrets
from pathlib import Path

from django.conf import settings


class Damaged(RuntimeError):
    """The file on disk is not the one whose digest was kept."""


def folder() -> Path:
    """Where the papers lie; nothing serves this folder."""
    return Path(settings.MEDIA_ROOT) / "papers"


def digest(content: bytes) -> str:
    """SHA-256 of a file's bytes, 64 hex digits."""
    return hashlib.sha256(content).hexdigest()


def keep(*, content: bytes) -> str:
    """
    Write a file and wait until it is on disk; its name. To be called outside a transaction.

    Effects: one file is written under a new name that says nothing.
    """
    name = f"{secrets.token_urlsafe(24)}.pdf"
    path = folder() / name
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    return name


def forget(*, name: str) -> None:
    """
    Remove a file that another has overtaken before anybody was given it.

    Effects: the file goes.
    """
    (folder() / name).unlink(missing_ok=True)


def read(*, name: str, sha256: str) -> bytes:
    """
    The bytes of a kept file.

    Raises:
        Damaged: they are not what was kept.
    """
    content = (folder() / name).read_bytes()
    if digest(content) != sha256:
        raise Damaged(f"the file {name} is not the one that was kept")
    return content
