"""Real processes on the loopback: a database of this run, a Redis of its own, a mail server, workers."""

from __future__ import annotations

import asyncio
import contextlib
import email
import os
import shutil
import signal
import subprocess
import sys
import threading
import time
import uuid
from collections import Counter
from pathlib import Path

import psycopg
import pytest
from aiosmtpd.controller import Controller
from django.conf import settings

from tests.studio.outbox.post_office import free_port

ROOT = Path(__file__).resolve().parent.parent.parent
POSTGRES = os.environ.get("RINGWRIGHT_TEST_POSTGRES", "postgresql://postgres@127.0.0.1:5432/postgres")


def need(found: object, what: str) -> None:
    """A check that needs a service fails in CI where the service is missing; elsewhere it is left out."""
    if found:
        return
    if os.environ.get("CI", "").lower() in ("true", "1"):
        pytest.fail(f"{what} is missing, and in CI it must be there")
    pytest.skip(f"{what} is missing on this machine")


def wait_until(condition, *, seconds: float, what: str) -> None:
    """Wait for something, and say what did not happen."""
    until = time.monotonic() + seconds
    while not condition():
        if time.monotonic() > until:
            pytest.fail(f"{what} did not happen in {seconds:.0f} s")
        time.sleep(0.1)


class Sink:
    """A mail server that counts what it accepted; a letter takes it *pause* seconds."""

    def __init__(self, pause: float = 0.0) -> None:
        self.pause = pause
        self.accepted: Counter[str] = Counter()
        self.at: dict[str, float] = {}
        self.lock = threading.Lock()
        self.controller = Controller(self, hostname="127.0.0.1", port=free_port())
        self.controller.start()

    @property
    def address(self) -> str:
        return f"smtp://127.0.0.1:{self.controller.port}"

    async def handle_DATA(self, server, session, envelope):
        message = email.message_from_bytes(envelope.content)
        await asyncio.sleep(self.pause / 2)
        with self.lock:
            self.accepted[message["Message-ID"]] += 1
            self.at.setdefault(message["Message-ID"], time.time())
        # Between the acceptance and the answer lies the instant in which a killed sender cannot know.
        await asyncio.sleep(self.pause / 2)
        return "250 accepted"

    def stop(self) -> None:
        self.controller.stop()


class Redis:
    """A Redis of this test alone, which may be killed and emptied."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.port = free_port()
        self.process: subprocess.Popen | None = None
        self.start()

    @property
    def address(self) -> str:
        return f"redis://127.0.0.1:{self.port}/0"

    def start(self) -> None:
        self.folder.mkdir(parents=True, exist_ok=True)
        self.process = subprocess.Popen(
            [
                "redis-server",
                "--port",
                str(self.port),
                "--bind",
                "127.0.0.1",
                "--dir",
                str(self.folder),
                "--appendonly",
                "yes",
                "--maxmemory-policy",
                "noeviction",
                "--save",
                "",
            ],
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        import redis

        client = redis.Redis(port=self.port)

        def answers() -> bool:
            try:
                return client.ping()
            except redis.ConnectionError:
                return False

        wait_until(answers, seconds=10, what="Redis answering")
        client.close()

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()

    def wipe(self) -> None:
        """Lose everything it knew."""
        shutil.rmtree(self.folder)

    def stop(self) -> None:
        if self.process.poll() is None:
            self.kill()


class House:
    """The environment of one house, and the processes started in it."""

    def __init__(self, folder: Path, **environment: str) -> None:
        self.folder = folder
        # The fonts are made once for all houses of this machine: cutting them takes longer than any test here.
        if not (folder / "fonts").exists():
            (folder / "fonts").symlink_to(settings.FONTS_DIR, target_is_directory=True)
        self.environment = {
            **os.environ,
            "RINGWRIGHT_HERE": "1",
            "RINGWRIGHT_DATA": str(folder),
            "RINGWRIGHT_LETTER_FROM": "studio@studio.example",
            "RINGWRIGHT_SWEEP_SECONDS": "1",
            "DJANGO_SETTINGS_MODULE": "studio.settings",
            "PYTHONPATH": str(ROOT),
            **environment,
        }
        # A browser test of the same worker may have set it for itself; a house must not inherit it.
        self.environment.pop("DJANGO_ALLOW_ASYNC_UNSAFE", None)
        if "RINGWRIGHT_DATABASE_URL" not in environment:
            self.environment.pop("RINGWRIGHT_DATABASE_URL", None)
        self.log = folder / "processes.log"
        self.running: list[subprocess.Popen] = []

    def start(self, *command: str, **changes) -> subprocess.Popen:
        """A process in a group of its own, so that it can be killed with all its children."""
        with self.log.open("ab") as log:
            process = subprocess.Popen(
                command,
                cwd=ROOT,
                env=self.environment,
                start_new_session=True,
                stdout=changes.pop("stdout", log),
                stderr=log,
                **changes,
            )
        self.running.append(process)
        return process

    def manage(self, *words: str) -> str:
        """A command of the house, run to its end."""
        done = subprocess.run(
            [sys.executable, "manage.py", *words],
            cwd=ROOT,
            env=self.environment,
            capture_output=True,
            text=True,
            timeout=120,
            check=False,
        )
        assert done.returncode == 0, done.stderr[-4000:]
        return done.stdout

    def script(self, *words: str, **changes) -> subprocess.Popen:
        """What the web process does, without the web: see tests/served/writer.py."""
        return self.start(sys.executable, "-m", "tests.served.writer", *words, **changes)

    def words(self) -> str:
        """The last that the processes said, for a failing test."""
        return self.log.read_text(errors="replace")[-4000:] if self.log.exists() else ""

    def stop(self) -> None:
        for process in self.running:
            kill(process)


def kill(process: subprocess.Popen) -> None:
    """Kill -9 a process and everything it started."""
    with contextlib.suppress(ProcessLookupError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


def children(process: subprocess.Popen) -> list[int]:
    """The processes that it has started and that live."""
    done = subprocess.run(["pgrep", "-P", str(process.pid)], capture_output=True, text=True, check=False)
    return [int(pid) for pid in done.stdout.split()]


class Database:
    """A PostgreSQL database that is made for this run and dropped after it."""

    def __init__(self) -> None:
        self.name = f"ringwright_served_{uuid.uuid4().hex[:12]}"
        with psycopg.connect(POSTGRES, autocommit=True) as connection:
            connection.execute(f'CREATE DATABASE "{self.name}"')

    @property
    def address(self) -> str:
        return POSTGRES.rpartition("/")[0] + f"/{self.name}"

    def ask(self, question: str) -> list[tuple]:
        with psycopg.connect(self.address, autocommit=True) as connection:
            return connection.execute(question).fetchall()

    def drop(self) -> None:
        with psycopg.connect(POSTGRES, autocommit=True) as connection:
            connection.execute(f'DROP DATABASE IF EXISTS "{self.name}" WITH (FORCE)')


def postgres_answers() -> bool:
    try:
        psycopg.connect(POSTGRES, connect_timeout=3).close()
    except psycopg.OperationalError:
        return False
    return True
