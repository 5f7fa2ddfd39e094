"""
Tasks of the outbox: leaves that carry a key, fetch, and call one action.

The database is the queue of record. A task that a broker loses is found again by the sweep; a task that
a broker repeats finds nothing left to claim.
"""

from __future__ import annotations

import logging
import time

from celery import shared_task
from django.conf import settings
from django.utils.module_loading import import_string

from studio.outbox import queries
from studio.outbox.delivery import Line, deliver
from studio.outbox.errors import Exhausted

log = logging.getLogger(__name__)

BROKER_REST_SECONDS = 10.0
"""How long nobody asks a broker again that has just failed to answer: a page must not wait for it twice."""

_rest_until = 0.0


@shared_task(name="studio.outbox.tasks.send_letter")
def send_letter(pk: int) -> bool:
    """Try one letter."""
    with Line() as line:
        return deliver(pk=pk, line=line)


def send_due() -> int:
    """
    Try every letter that is due, over one line to the mail server; how many were accepted.

    Stops early enough for the worker's time limit; what is left is found by the next sweep.
    """
    sent, until = 0, time.monotonic() + settings.CELERY_TASK_SOFT_TIME_LIMIT - settings.EMAIL_TIMEOUT - 15
    with Line() as line:
        while keys := queries.due(limit=50):
            for pk in keys:
                if time.monotonic() > until:
                    return sent
                sent += deliver(pk=pk, line=line)
    return sent


@shared_task(name="studio.outbox.tasks.sweep")
def sweep() -> dict[str, str]:
    """
    Do in order what the rooms have asked for (``SWEEP``): consume facts, then send what is due.

    One that fails does not keep the others from their turn; what it left is there at the next sweep.
    """
    done = {}
    for name in settings.SWEEP:
        try:
            done[name] = str(import_string(name)())
        except MemoryError as error:
            raise Exhausted(name) from error
        except Exception:
            log.exception("%s failed; the next sweep tries again", name)
            done[name] = "failed"
    return done


def publish_sweep() -> None:
    """Ask a worker for a sweep; a broker that is down is no loss."""
    _publish(sweep, expires=max(60, 4 * settings.SWEEP_SECONDS))


def publish_letter(pk: int) -> None:
    """Ask a worker to send one letter; a broker that is down is no loss."""
    _publish(send_letter, pk)


def _publish(task, *args, expires: int | None = None) -> None:
    global _rest_until
    if time.monotonic() < _rest_until:
        return
    try:
        task.apply_async(args, retry=False, expires=expires)
    except Exception as error:
        _rest_until = time.monotonic() + BROKER_REST_SECONDS
        log.warning("the broker does not answer (%s); the next sweep finds the work", type(error).__name__)
