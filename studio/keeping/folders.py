"""The files that belong to the house's data, by the name of their folder in a backup."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path, PurePosixPath

from django.conf import settings
from django.core.files.storage import storages


def folders() -> dict[str, Path]:
    """Pictures made, pictures as they came, and letters of the local outbox."""
    return {
        "media": Path(storages["default"].location),
        "originals": Path(storages["originals"].location),
        "outbox": Path(settings.OUTBOX_DIR),
    }


def files() -> Iterator[tuple[str, Path]]:
    """Every file with its name in a backup, without holding the list of them."""
    for name, folder in folders().items():
        for base, inner, found in os.walk(folder):
            inner.sort()
            for file in sorted(found):
                path = Path(base) / file
                yield f"{name}/{path.relative_to(folder).as_posix()}", path


def place_of(name: str) -> Path | None:
    """Where a file of a backup belongs; None for a name that would lead out of the folders."""
    parts = PurePosixPath(name).parts
    folder = folders().get(parts[0]) if parts else None
    if folder is None or len(parts) < 2 or any(part in ("..", "/") for part in parts):
        return None
    return folder.joinpath(*parts[1:])
