"""The form of one row in the registry of sources."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Mark = Literal["seen", "lib", "calc", "memory", "practice"]


@dataclass(frozen=True, kw_only=True)
class Source:
    """
    One published source.

    Args:
        key: Short name used in docstrings, rows and outputs.
        citation: Full citation as a reader would look it up.
        mark: How we know it: read (seen), produced by an open library (lib), exact mathematics (calc),
            from memory (memory), or common practice of the trade with no source (practice).
    """

    key: str
    citation: str
    mark: Mark
