"""The whole suite: style, types, migrations, and every test on SQLite and on PostgreSQL."""

from __future__ import annotations

import os
import subprocess
import sys

from django.conf import settings
from django.core.management.base import BaseCommand

POSTGRES = "postgresql://postgres@127.0.0.1:5432/postgres"


class Command(BaseCommand):
    help = (
        "Run the whole suite. "
        "Words after -- go to pytest, and then only pytest runs: test -- tests/gemcalc -x. "
        "PostgreSQL is taken from RINGWRIGHT_TEST_POSTGRES or this machine; "
        "without it the second round is left out, except in CI."
    )
    requires_system_checks = ()

    def add_arguments(self, parser):
        parser.add_argument("words", nargs="*")

    def handle(self, *args, words, **options):
        if words:
            raise SystemExit(self._run([sys.executable, "-m", "pytest", *words]))
        failed = []
        for name, command in (
            ("style", [sys.executable, "-m", "ruff", "check", "."]),
            ("format", [sys.executable, "-m", "ruff", "format", "--check", "."]),
            ("types", [sys.executable, "-m", "mypy"]),
            ("migrations", [sys.executable, "manage.py", "makemigrations", "--check", "--dry-run"]),
            ("tests on SQLite", self._pytest()),
        ):
            self.stdout.write(f"— {name}")
            self.stdout.flush()
            if self._run(command):
                failed.append(name)
        address = os.environ.get("RINGWRIGHT_TEST_POSTGRES", POSTGRES)
        if self._answers(address):
            self.stdout.write("— tests on PostgreSQL")
            self.stdout.flush()
            # The figures know no database; their tests have run once already.
            rooms = ["tests/studio", "tests/commissions", "tests/house", "tests/web"]
            rooms = [room for room in rooms if (settings.BASE_DIR / room).exists()]
            if self._run(self._pytest(*rooms), RINGWRIGHT_DATABASE_URL=address):
                failed.append("tests on PostgreSQL")
        elif os.environ.get("CI"):
            failed.append("tests on PostgreSQL (no server answers)")
        else:
            self.stdout.write("— PostgreSQL does not answer: its round was left out")
        if failed:
            self.stderr.write("Failed: " + ", ".join(failed))
            raise SystemExit(1)
        self.stdout.write("All passed.")

    def _pytest(self, *rooms: str) -> list[str]:
        return [
            sys.executable,
            "-m",
            "pytest",
            "-q",
            "-n",
            str(min(os.cpu_count() or 1, 4)),
            "--dist",
            "loadfile",
            *rooms,
        ]

    def _run(self, command: list[str], **environment: str) -> int:
        return subprocess.run(  # noqa: S603 - every word is written above or typed by whoever runs it
            command, cwd=settings.BASE_DIR, env={**os.environ, **environment}, check=False
        ).returncode

    def _answers(self, address: str) -> bool:
        import psycopg

        try:
            psycopg.connect(address, connect_timeout=3).close()
        except psycopg.OperationalError:
            return False
        return True
