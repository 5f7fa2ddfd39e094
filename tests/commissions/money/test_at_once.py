"""Several owners at once and a process killed in mid-entry, on both databases: one entry, balanced."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import uuid

import psycopg
import pytest
from django.conf import settings

from tests.served.harness import POSTGRES, need


def _postgres(name: str, statement: str) -> bool:
    try:
        with psycopg.connect(POSTGRES, autocommit=True, connect_timeout=3) as line:
            line.execute(statement.format(name=name))
    except psycopg.OperationalError:
        return False
    return True


@pytest.fixture(params=["sqlite", "postgresql"])
def place(request, tmp_path):
    """The environment of a database of this test alone, migrated, with one commission in it."""
    env = {
        **os.environ,
        "DJANGO_SETTINGS_MODULE": "studio.settings",
        "RINGWRIGHT_DATA": str(tmp_path),
        "RINGWRIGHT_DEBUG": "yes",
    }
    env.pop("RINGWRIGHT_DATABASE_URL", None)
    name = f"money_{uuid.uuid4().hex[:12]}"
    if request.param == "postgresql":
        need(_postgres(name, "CREATE DATABASE {name}"), "PostgreSQL")
        env["RINGWRIGHT_DATABASE_URL"] = POSTGRES.rsplit("/", 1)[0] + f"/{name}"
    try:
        subprocess.run(
            [sys.executable, "manage.py", "migrate", "-v0"],
            cwd=settings.BASE_DIR,
            env=env,
            check=True,
            timeout=240,
        )
        _run(env, "seed")
        yield env
    finally:
        if request.param == "postgresql":
            _postgres(name, "DROP DATABASE IF EXISTS {name} WITH (FORCE)")


def _start(env, what: str) -> subprocess.Popen:
    return subprocess.Popen(
        [sys.executable, "-m", "tests.commissions.money.poster", what],
        cwd=settings.BASE_DIR,
        env=env,
        stdout=subprocess.PIPE,
        text=True,
    )


def _run(env, what: str) -> str:
    process = _start(env, what)
    said, _errors = process.communicate(timeout=120)
    assert process.returncode == 0, what
    return said


@pytest.mark.slow
def test_a_killed_entry_leaves_nothing_and_three_owners_enter_a_receipt_once(place):
    process = _start(place, "half")
    assert process.stdout.readline().strip() == "half"
    process.kill()
    process.wait(timeout=20)
    assert json.loads(_run(place, "look")) == [0, 0, 0, 0]
    owners = [_start(place, "post") for _ in range(3)]
    for owner in owners:
        said, _errors = owner.communicate(timeout=120)
        assert said.strip() == "done"
    assert json.loads(_run(place, "look")) == [15, 30, 0, sum(1000 + n for n in range(15))]
