"""The embedded way, killed without warning: one process, SQLite, and each letter a file, there once."""

import email
import email.policy
import signal
import sqlite3
import subprocess
import sys
import time
import urllib.request

import pytest

from tests.served.harness import House, kill, wait_until
from tests.studio.outbox.post_office import free_port

pytestmark = pytest.mark.service


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A data folder whose database has its tables, and whose fonts are made."""
    made = tmp_path_factory.mktemp("embedded")
    house = House(made)
    house.manage("migrate", "--no-input")
    house.manage("fonts")
    return made


@pytest.fixture
def house(folder):
    made = House(folder)
    made.port = free_port()
    yield made
    made.stop()


def open_house(house) -> subprocess.Popen:
    process = house.start(sys.executable, "manage.py", "studio", "--port", str(house.port))

    def answers() -> bool:
        if process.poll() is not None:
            pytest.fail(house.words())
        try:
            with urllib.request.urlopen(f"http://127.0.0.1:{house.port}/static/studio/mark.svg", timeout=2):
                return True
        except OSError:
            return False

    wait_until(answers, seconds=90, what="the house opening")
    return process


def ask(folder, question: str):
    connection = sqlite3.connect(folder / "ringwright.sqlite3", timeout=20)
    try:
        return connection.execute(question).fetchall()
    finally:
        connection.close()


def files(folder) -> list:
    return sorted((folder / "outbox").glob("*.eml"))


def test_killed_at_many_moments_each_letter_is_there_once(house, folder):
    writer = house.script("messages", "40", "0.05", stdout=subprocess.PIPE)
    for number, count in enumerate((1, 6, 14)):
        process = open_house(house)
        wait_until(lambda count=count: len(files(folder)) >= count, seconds=90, what="the first letters")
        time.sleep(0.007 * number)
        kill(process)
    said, _nothing = writer.communicate(timeout=60)
    assert writer.returncode == 0
    committed = [str(pk) for (pk,) in ask(folder, "SELECT id FROM record_message")]
    assert said.decode().split() == committed
    process = open_house(house)
    wait_until(
        lambda: ask(folder, "SELECT count(*) FROM outbox_letter WHERE state = 'sent'") == [(len(committed),)],
        seconds=120,
        what="sending every letter",
    )
    found = [
        email.message_from_bytes(path.read_bytes(), policy=email.policy.default) for path in files(folder)
    ]
    known = {message for (message,) in ask(folder, "SELECT message_id FROM outbox_letter")}
    assert len(found) == len(committed) == 40
    assert {message["Message-ID"] for message in found} == known
    assert all(
        "The message is on your page" in message.get_body(("plain",)).get_content() for message in found
    )
    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=60) == 0


def test_eight_writers_and_the_drain_never_meet_a_locked_database(house, folder):
    process = open_house(house)
    before = len(ask(folder, "SELECT id FROM record_message"))
    writer = house.script("crowd", "6", stdout=subprocess.PIPE)
    said, _nothing = writer.communicate(timeout=90)
    assert writer.returncode == 0, house.words()
    assert len(said.decode().split()) == 48
    committed = before + 48
    wait_until(
        lambda: ask(folder, "SELECT count(*) FROM outbox_letter WHERE state = 'sent'") == [(committed,)],
        seconds=120,
        what="sending every letter",
    )
    assert len(files(folder)) == committed
    assert "locked" not in house.words()
    process.send_signal(signal.SIGTERM)
    assert process.wait(timeout=60) == 0


def test_a_folder_is_drained_by_one_process_alone(house, folder):
    process = open_house(house)
    for command in (["studio", "--port", str(free_port())], ["sweep"]):
        second = subprocess.run(
            [sys.executable, "manage.py", *command],
            env=house.environment,
            capture_output=True,
            text=True,
            timeout=60,
            check=False,
        )
        assert second.returncode != 0
        assert "running" in second.stderr
        assert "Traceback" not in second.stderr
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=60) == 0
    assert "send_due: 0" in house.manage("sweep")


def test_a_broker_address_is_never_overlooked(tmp_path):
    house = House(tmp_path, RINGWRIGHT_BROKER_URL="redis://127.0.0.1:1/0")
    done = subprocess.run(
        [sys.executable, "manage.py", "studio", "--skip-checks"],
        env=house.environment,
        capture_output=True,
        text=True,
        timeout=60,
        check=False,
    )
    assert done.returncode != 0
    assert "runs in the served way" in done.stderr
