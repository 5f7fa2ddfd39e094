"""
Whether a container of the served way is alive: ``python studio/health.py web|worker|beat``.

Ends with 0 when it is. Written with Python's own library where that is enough, since it runs again and again.
"""

from __future__ import annotations

import http.client
import os
import socket
import sys
import time
from pathlib import Path

BEAT_SCHEDULE = Path("/tmp/beat-schedule")  # noqa: S108 - the container's own
BEAT_SECONDS = 600
"""Beat writes its schedule every three minutes; three times that and it is stuck."""


def web(port: int = 8000) -> bool:
    """Whether a page is answered; a redirect to https:// is an answer."""
    host = os.environ.get("RINGWRIGHT_HOSTS", "127.0.0.1").split(",")[0].strip()
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=8)
    connection.request("GET", "/", headers={"Host": host})
    return connection.getresponse().status < 400


def worker() -> bool:
    """Whether this container's worker answers through the broker."""
    from studio.celery import app

    return bool(app.control.inspect(destination=[f"celery@{socket.gethostname()}"], timeout=15).ping())


def beat(schedule: Path = BEAT_SCHEDULE) -> bool:
    """Whether beat has written its schedule lately."""
    written = [file.stat().st_mtime for file in schedule.parent.glob(f"{schedule.name}*")]
    return bool(written) and time.time() - max(written) < BEAT_SECONDS


if __name__ == "__main__":
    # Python looks beside this file first, where our own celery.py would hide the library.
    sys.path[0] = str(Path(__file__).resolve().parent.parent)
    try:
        alive = {"web": web, "worker": worker, "beat": beat}[sys.argv[1]]()
    except (OSError, http.client.HTTPException) as error:
        print(error, file=sys.stderr)
        alive = False
    sys.exit(0 if alive else 1)
