"""Why a move or an act is refused, in words a person can act on."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Missing:
    """One thing that is missing, and where it is done (may be empty)."""

    words: str
    path: str = ""


class Refused(Exception):
    """
    An act that a gate refuses.

    ``missing`` lists every reason at once, so that nobody meets them one by one.
    """

    def __init__(self, *missing: Missing | str) -> None:
        self.missing = [row if isinstance(row, Missing) else Missing(words=row) for row in missing]
        super().__init__("; ".join(row.words for row in self.missing))


class Overtaken(Refused):
    """Somebody else has moved the commission since the page was read."""

    def __init__(self) -> None:
        super().__init__("Somebody has moved this commission in the meantime. Look at it again.")
