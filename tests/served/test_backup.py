"""The restore drill: a backup of the demo workshop stands again elsewhere, in either database, and is the same."""

import json
import shutil
import sqlite3
import stat
import subprocess
import sys
import time

import pytest

from tests.journeys.conftest import seeded  # noqa: F401 - the fixture
from tests.served.harness import ROOT, Database, House, need, postgres_answers

pytestmark = pytest.mark.service
PHRASE = "four geese over the harbour"
DRILL_SECONDS = 90
"""A whole drill (backup, restore, proof) of the demo workshop; about 15 s on two shared cores."""


def house(folder, **environment) -> House:
    folder.mkdir(exist_ok=True)
    return House(folder, RINGWRIGHT_BACKUP_PASSPHRASE=PHRASE, **environment)


def standing(house) -> dict:
    done = subprocess.run(
        [sys.executable, "-m", "tests.served.standing"],
        cwd=ROOT,
        env=house.environment,
        capture_output=True,
        text=True,
        timeout=120,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def refused(house, *words: str, **environment) -> str:
    """The words with which a command is refused."""
    done = subprocess.run(
        [sys.executable, "manage.py", *words],
        cwd=ROOT,
        env={**house.environment, **environment},
        capture_output=True,
        text=True,
        stdin=subprocess.DEVNULL,
        timeout=120,
        check=False,
    )
    assert done.returncode == 1, done.stdout
    assert "Traceback" not in done.stderr, done.stderr
    return done.stderr


@pytest.fixture(scope="module")
def demo(seeded, tmp_path_factory):  # noqa: F811 - the fixture
    """A copy of the demo workshop, and its backup."""
    folder = tmp_path_factory.mktemp("backup")
    shutil.copytree(seeded, folder / "data")
    made = house(folder / "data")
    made.backup = folder / "demo.backup"
    made.said = made.manage("backup", str(made.backup))
    return made


def contents(folder) -> set[str]:
    return {path.name for path in folder.iterdir()} - {"fonts", "static"}


def test_the_drill(demo, tmp_path):
    began = time.monotonic()
    other = house(tmp_path / "restored")
    said = other.manage("restore", str(demo.backup))
    assert "the trail holds" in said
    assert "The trail holds" in other.manage("verify_trail")
    there = standing(other)
    assert there == standing(demo)
    assert there["trail"][0] > 100 and there["trail"][1] is None
    assert there["approvals"] and there["fingerprints_hold"] and there["originals_hold"]
    assert len(there["pictures"]) > 10 and len(there["balances"]) > 5
    assert sum(row[2] for row in there["balances"] if row[1] == "GBP") == 0
    own = tmp_path / "restored" / "secret-key"
    assert own.read_text() == (demo.folder / "secret-key").read_text()
    assert stat.S_IMODE(own.stat().st_mode) == 0o600
    assert time.monotonic() - began < DRILL_SECONDS
    database = sqlite3.connect(tmp_path / "restored" / "ringwright.sqlite3")
    for statement in ("UPDATE trail_entry SET actor = 'x'", "DELETE FROM money_posting"):
        with pytest.raises(sqlite3.IntegrityError, match="only grows"):
            database.execute(statement)
    database.close()


def test_it_goes_into_postgresql_and_back(demo, tmp_path):
    need(postgres_answers(), "PostgreSQL")
    database = Database()
    try:
        served = house(tmp_path / "served", RINGWRIGHT_DATABASE_URL=database.address)
        served.manage("restore", str(demo.backup))
        assert standing(served) == standing(demo)
        # A new row takes the next number, not one that is taken.
        served.manage(
            "shell", "-c", "from studio.trail.actions import record; record(actor='a', verb='b', subject='c')"
        )
        again = tmp_path / "again.backup"
        served.manage("backup", str(again))
        back = house(tmp_path / "back")
        back.manage("restore", str(again))
        there, here = standing(back), standing(demo)
        assert there.pop("trail") == [here.pop("trail")[0] + 1, None]
        assert there == here
    finally:
        database.drop()


def test_it_is_readable_by_its_maker_alone_and_holds_nothing_in_the_clear(demo):
    assert stat.S_IMODE(demo.backup.stat().st_mode) == 0o600
    body = demo.backup.read_bytes()
    for word in (b"Ottoline", b"lanternfold.example", b"money_posting", b"secret", b"\xff\xd8\xff\xe0"):
        assert word not in body
    assert not list(demo.backup.parent.glob(".*.part"))


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (lambda body: body, "passphrase does not fit"),
        (lambda body: body[:-1], "damaged or was cut off"),
        (lambda body: body[: len(body) // 2], "damaged or was cut off"),
        (lambda body: body[:5000] + bytes([body[5000] ^ 1]) + body[5001:], "damaged"),
        (lambda body: body[:-40] + bytes([body[-40] ^ 1]) + body[-39:], "damaged"),
        (lambda body: b"\x1f\x8b" + body[2:], "no backup of ours"),
    ],
    ids=[
        "wrong passphrase",
        "last byte gone",
        "half gone",
        "byte flipped",
        "byte flipped at the end",
        "other file",
    ],
)
def test_what_is_not_whole_is_refused_before_anything_is_written(demo, tmp_path, spoil, words):
    spoilt = tmp_path / "spoilt.backup"
    spoilt.write_bytes(spoil(demo.backup.read_bytes()))
    other = house(tmp_path / "restored")
    phrase = "not this one, certainly" if words.startswith("passphrase") else PHRASE
    assert words in refused(other, "restore", str(spoilt), RINGWRIGHT_BACKUP_PASSPHRASE=phrase)
    assert contents(other.folder) <= {"secret-key"}


def test_nothing_is_overwritten(demo, tmp_path):
    before = standing(demo)
    assert "already" in refused(demo, "restore", str(demo.backup))
    assert "never overwrites" in refused(demo, "backup", str(demo.backup))
    assert standing(demo) == before
    other = house(tmp_path / "restored")
    (other.folder / "originals").mkdir()
    (other.folder / "originals" / "a.jpeg").write_bytes(b"mine")
    assert "not empty" in refused(other, "restore", str(demo.backup))
    assert (other.folder / "originals" / "a.jpeg").read_bytes() == b"mine"


def test_a_passphrase_is_needed_and_may_come_from_a_file(demo, tmp_path):
    target = tmp_path / "b.backup"
    for phrase in ("", "short"):
        words = refused(demo, "backup", str(target), RINGWRIGHT_BACKUP_PASSPHRASE=phrase)
        assert "at least 12 signs" in words
    assert not target.exists()
    (tmp_path / "phrase").write_text(PHRASE + "\n")
    environment = {**demo.environment, "RINGWRIGHT_BACKUP_PASSPHRASE_FILE": str(tmp_path / "phrase")}
    del environment["RINGWRIGHT_BACKUP_PASSPHRASE"]
    subprocess.run(
        [sys.executable, "manage.py", "restore", "--check", str(demo.backup)],
        cwd=ROOT,
        env=environment,
        check=True,
        timeout=120,
        capture_output=True,
    )


def test_it_is_made_while_the_house_works(tmp_path):
    """A writer goes on writing; the backup shows one moment of it, and nobody waits for the other."""
    busy = house(tmp_path / "busy")
    busy.manage("migrate", "--no-input")
    writer = busy.script("messages", "150", "0.02", stdout=subprocess.PIPE)
    first = writer.stdout.readline()
    made = []
    for number in range(2):
        made.append(tmp_path / f"{number}.backup")
        busy.manage("backup", str(made[-1]))
    written, _nothing = writer.communicate(timeout=120)
    assert writer.returncode == 0, busy.words()
    committed = [int(pk) for pk in (first + written).split()]
    assert len(committed) == 150
    seen = []
    for number, file in enumerate(made):
        other = house(tmp_path / f"restored{number}")
        other.manage("restore", str(file))
        there = standing(other)
        assert there["trail"][1] is None
        seen.append(len(there["messages"]))
        assert there["messages"] == committed[: seen[-1]]
    assert 0 < seen[0] < 150, "the writer was not writing while the backup was made"


def test_a_house_with_another_secret_says_what_is_to_be_done(demo, tmp_path):
    other = house(
        tmp_path / "restored",
        RINGWRIGHT_SECRET_KEY="another secret that is long enough, 0123456789-0123456789",
    )
    assert "RINGWRIGHT_SECRET_KEY_FALLBACKS" in other.manage("restore", str(demo.backup))
    kept = other.folder / "secret-key-of-the-backup"
    assert kept.read_text() == (demo.folder / "secret-key").read_text()
    assert stat.S_IMODE(kept.stat().st_mode) == 0o600
