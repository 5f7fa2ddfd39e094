"""Measuring the studio's list pages over loopback, with a real server and a signed-in person."""

from __future__ import annotations

import http.client
import os
import signal
import statistics
import subprocess
import sys
import threading
import time

from django.conf import settings
from django.contrib.auth import BACKEND_SESSION_KEY, HASH_SESSION_KEY, SESSION_KEY
from django.contrib.sessions.backends.db import SessionStore

from commissions.pages.many import seed
from commissions.pages.studio.queries import commissions_page
from commissions.record.models import Commission
from studio import clock
from studio.people.models import Person, Role

PORT = 8791


def _session() -> str:
    person, _made = Person.objects.get_or_create(
        email="measure@studio.example",
        defaults={"full_name": "Measure", "role": Role.OWNER, "joined_at": clock.now(), "password": "!"},
    )
    session = SessionStore()
    session[SESSION_KEY] = str(person.pk)
    session[BACKEND_SESSION_KEY] = "django.contrib.auth.backends.ModelBackend"
    session[HASH_SESSION_KEY] = person.get_session_auth_hash()
    session.save()
    return session.session_key


def _client(path: str, cookie: str, requests: int, times: list[float]) -> None:
    line = http.client.HTTPConnection("127.0.0.1", PORT, timeout=30)
    for _ in range(requests):
        began = time.perf_counter()
        line.request("GET", path, headers={"Cookie": cookie})
        answer = line.getresponse()
        answer.read()
        if answer.status != 200:
            raise RuntimeError(f"{path} answered {answer.status}")
        times.append((time.perf_counter() - began) * 1000)


def _times(path: str, cookie: str, *, clients: int, requests: int) -> list[float]:
    times: list[float] = []
    threads = [threading.Thread(target=_client, args=(path, cookie, requests, times)) for _ in range(clients)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return times


def run(*, count: int = 10_000) -> list[tuple[str, float, str]]:
    """
    Rows (name, value, unit): p50 and p95 of Today and Commissions with *count* commissions, first and deep page.

    Two gunicorn workers on loopback; at most 8 clients, at most 400 requests a page.
    """
    there = Commission.objects.count()
    if there < count:
        seed(count=count - there)
    deep = ""
    for _ in range(100):
        _rows, cursor = commissions_page(after=deep)
        if not cursor:
            break
        deep = cursor
    cookie = f"{settings.SESSION_COOKIE_NAME}={_session()}"
    server = subprocess.Popen(  # noqa: S603
        [
            sys.executable,
            "-m",
            "gunicorn",
            "studio.wsgi",
            "-w",
            "2",
            "-b",
            f"127.0.0.1:{PORT}",
            "--log-level",
            "warning",
        ],
        cwd=settings.BASE_DIR,
        env={**os.environ, "RINGWRIGHT_SECOND_FACTOR": "no"},
    )
    rows = []
    try:
        time.sleep(4)
        for name, path in (
            ("Today", "/studio/"),
            ("Commissions", "/studio/commissions/"),
            ("Commissions, page 100", f"/studio/commissions/?after={deep}"),
        ):
            _times(path, cookie, clients=2, requests=20)
            for clients, requests in ((1, 120), (8, 40)):
                times = sorted(_times(path, cookie, clients=clients, requests=requests))
                rows.append((f"{name}, {clients} at once, p50", statistics.median(times), "ms"))
                rows.append((f"{name}, {clients} at once, p95", times[int(len(times) * 0.95) - 1], "ms"))
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(timeout=15)
    return rows
