"""Waking whoever drains the outbox, at commit and never before."""

from __future__ import annotations

import threading

from django.conf import settings
from django.db import transaction

wake = threading.Event()
"""Set in embedded mode to wake the draining thread of this process."""


def nudge() -> None:
    """
    Ask for a sweep as soon as the present transaction is committed.

    In the served way this publishes a task; a broker that is down is no loss, since the regular sweep
    reads the same rows from the database. In the embedded way it wakes the thread of this process.
    """
    transaction.on_commit(_wake, robust=True)


def _wake() -> None:
    if not settings.SERVED:
        wake.set()
        return
    from studio.outbox.tasks import publish_sweep

    publish_sweep()
