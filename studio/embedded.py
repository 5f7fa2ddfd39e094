"""
The embedded way: one process that serves the pages and drains the outbox.

Nothing is kept in this process: what it was doing when it is killed lies in the database, and the next
start goes on from there.
"""

from __future__ import annotations

import fcntl
import logging
import signal
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from django.conf import settings
from django.db import close_old_connections, connection

from studio.outbox import queue
from studio.outbox.actions import free_leases

log = logging.getLogger(__name__)

THREADS = 4


class AlreadyRunning(Exception):
    """Another process runs the house on this data folder."""


class CannotListen(Exception):
    """The address cannot be listened on."""


@contextmanager
def alone() -> Iterator[None]:
    """
    Be the only process that drains this data folder; the system frees the place when the process dies.

    Raises:
        AlreadyRunning: another process has it.
    """
    with (settings.DATA_DIR / "running.lock").open("w") as file:
        try:
            fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            raise AlreadyRunning from None
        yield


class Drain(threading.Thread):
    """Runs the sweep whenever a commit wakes it, and otherwise every ``SWEEP_SECONDS``."""

    def __init__(self) -> None:
        super().__init__(name="outbox-drain", daemon=True)
        self._stopping = threading.Event()

    def run(self) -> None:
        from studio.outbox.tasks import sweep

        while not self._stopping.is_set():
            # Cleared before the sweep looks: whoever wakes us while it runs gets a sweep of their own.
            queue.wake.clear()
            close_old_connections()
            try:
                sweep()
            except Exception:
                log.exception("the sweep failed; the next one tries again")
            finally:
                close_old_connections()
            if not self._stopping.is_set():
                queue.wake.wait(settings.SWEEP_SECONDS)

    def stop(self, *, seconds: float) -> None:
        """Let the letter in hand be finished, for at most *seconds*; the next start frees it otherwise."""
        self._stopping.set()
        queue.wake.set()
        self.join(seconds)


def serve(*, host: str, port: int, ready: Callable[[str], None] = lambda address: None) -> None:
    """
    Serve the pages and drain the outbox until SIGTERM or SIGINT.

    *ready* is called with the address once connections are accepted. To be called from the main thread,
    under :func:`alone`, when the database is up to date.

    Raises:
        CannotListen: the port is taken or not ours to take.
    """
    from waitress.server import create_server

    settings.STATIC_ROOT.mkdir(parents=True, exist_ok=True)
    from studio.wsgi import application

    try:
        server = create_server(
            application,
            host=host,
            port=port,
            threads=THREADS,
            ident=None,
            clear_untrusted_proxy_headers=True,
            max_request_body_size=16 * settings.UPLOAD_FILE_MB * 1024 * 1024,
        )
    except OSError as error:
        raise CannotListen(f"{host}:{port} cannot be listened on: {error.strerror or error}") from error
    if connection.vendor == "sqlite":
        # Nobody else drains this file: a letter still claimed was in the hands of a process that died.
        free_leases()
    drain = Drain()
    before = {number: signal.signal(number, _stop) for number in (signal.SIGTERM, signal.SIGINT)}
    try:
        drain.start()
        ready(f"http://{server.effective_host}:{server.effective_port}")
        server.run()
    finally:
        server.close()
        drain.stop(seconds=settings.EMAIL_TIMEOUT + 5)
        for number, handler in before.items():
            signal.signal(number, handler)


def _stop(_number, _frame) -> None:
    raise SystemExit(0)
