"""What the sweep does for the bench."""

from __future__ import annotations

from commissions.bench import actions


def watch_dates() -> int:
    """Say where a promised date cannot be made any more; how many are new."""
    return actions.watch_dates()
