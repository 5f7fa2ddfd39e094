"""The mark on an address that refuses letters for good."""

from __future__ import annotations

from studio import clock
from studio.outbox.models import Unreachable


def mark_unreachable(*, email: str, reason: str) -> None:
    """
    Mark an address as refusing letters for good.

    Effects, in order: the mark is written, or renewed with the newest reason.
    """
    Unreachable.objects.update_or_create(email=email, defaults={"since": clock.now(), "reason": reason[:400]})
