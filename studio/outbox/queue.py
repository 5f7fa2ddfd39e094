"""Waking whoever drains the outbox, at commit and never before."""

from __future__ import annotations

import threading
from functools import partial

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


def dispatch(*, pk: int) -> None:
    """Ask for one letter to be sent at commit; as safe as :func:`nudge`."""
    transaction.on_commit(partial(_wake, pk), robust=True)


def _wake(pk: int | None = None) -> None:
    if not settings.SERVED:
        wake.set()
        return
    # The tasks import the rooms whose facts they consume; nothing needs them before the first commit.
    from studio.outbox.tasks import publish_letter, publish_sweep

    if pk is None:
        publish_sweep()
    else:
        publish_letter(pk)
