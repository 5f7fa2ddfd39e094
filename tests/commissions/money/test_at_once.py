"""
Several owners at once, a process killed in mid-entry and a notification told again and again, on both
databases: one entry each, balanced. Every hand is a process of its own.
"""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
import uuid

import psycopg
import pytest
from django.conf import settings

from tests.commissions.money.poster import SUM
from tests.served.harness import POSTGRES, need

HANDS = 3


def _postgres(name: str, statement: str) -> bool:
    try:
        with psycopg.connect(POSTGRES, autocommit=True, connect_timeout=3) as line:
            line.execute(statement.format(name=name))
    except psycopg.OperationalError:
        return False
    return True


class Place:
    """A database of this test alone; it is read by its own driver, past all of our code."""

    def __init__(self, kind: str, folder) -> None:
        self.kind, self.folder = kind, folder
        self.name = f"money_{uuid.uuid4().hex[:12]}"
        self.env = {
            **os.environ,
            "DJANGO_SETTINGS_MODULE": "studio.settings",
            "RINGWRIGHT_DATA": str(folder),
            "RINGWRIGHT_DEBUG": "yes",
        }
        self.env.pop("RINGWRIGHT_DATABASE_URL", None)
        if kind == "postgresql":
            need(_postgres(self.name, "CREATE DATABASE {name}"), "PostgreSQL")
            self.env["RINGWRIGHT_DATABASE_URL"] = self.address

    @property
    def address(self) -> str:
        return POSTGRES.rsplit("/", 1)[0] + f"/{self.name}"

    def close(self) -> None:
        if self.kind == "postgresql":
            _postgres(self.name, "DROP DATABASE IF EXISTS {name} WITH (FORCE)")

    def start(self, what: str) -> subprocess.Popen:
        return subprocess.Popen(
            [sys.executable, "-m", "tests.commissions.money.poster", what],
            cwd=settings.BASE_DIR,
            env=self.env,
            stdout=subprocess.PIPE,
            text=True,
        )

    def one(self, statement: str) -> tuple:
        if self.kind == "postgresql":
            with psycopg.connect(self.address) as line:
                return tuple(line.execute(statement).fetchone())
        with sqlite3.connect(self.folder / "ringwright.sqlite3") as line:
            return line.execute(statement).fetchone()


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request, tmp_path):
    made = Place(request.param, tmp_path)
    try:
        seeding = made.start("seed")
        said, _errors = seeding.communicate(timeout=240)
        assert said.strip() == "seeded"
        yield made
    finally:
        made.close()


LOOK = """
SELECT (SELECT COUNT(*) FROM money_entry), (SELECT COUNT(*) FROM money_posting),
(SELECT COALESCE(SUM(minor), 0) FROM money_posting),
(SELECT COALESCE(SUM(p.minor), 0) FROM money_posting p JOIN money_account a ON a.id = p.account_id
 WHERE a.code IN ('bank', 'card-clearing')),
(SELECT COUNT(*) FROM money_cardpayment WHERE entry_id IS NOT NULL AND paid_at IS NOT NULL)
"""


@pytest.mark.slow
def test_a_killed_entry_leaves_nothing_and_everybody_together_enters_a_thing_once(place):
    process = place.start("half")
    assert process.stdout.readline().strip() == "half"
    process.kill()
    process.wait(timeout=20)
    assert place.one(LOOK) == (0, 0, 0, 0, 0)
    hands = [place.start("post") for _ in range(HANDS)]
    for hand in hands:
        said, _errors = hand.communicate(timeout=240)
        assert said.strip() == "done"
    receipts = sum(1000 + n for n in range(15))
    assert place.one(LOOK) == (16, 32, 0, receipts + SUM, 1)
