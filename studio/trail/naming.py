"""What the keys of the trail are called: a person, a client, a piece; asked of whoever knows, many at once."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.conf import settings
from django.utils.module_loading import import_string


@dataclass(frozen=True, kw_only=True)
class Name:
    """How a key reads, and the page about it."""

    words: str
    path: str = ""


def names_of(keys: Iterable[str]) -> dict[str, Name]:
    """Names of *keys*, as far as anybody knows one; the number of queries does not depend on how many there are."""
    asked = sorted({key for key in keys if key})
    found: dict[str, Name] = {}
    for ask in settings.TRAIL_NAMES:
        found.update(import_string(ask)(keys=asked))
    return found


def numbers_behind(keys: Iterable[str], *, prefix: str) -> set[int]:
    """The numbers of keys such as ``person:7``."""
    return {
        int(key.removeprefix(prefix))
        for key in keys
        if key.startswith(prefix) and key.removeprefix(prefix).isdigit()
    }
