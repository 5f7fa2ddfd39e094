"""
The served way, with its processes killed without warning at many moments.

A letter may arrive twice in one case only: its sender died between the mail server's answer and our commit.
Then both are the same message, by its Message-ID; nothing is ever lost.
"""

import subprocess
import time

import pytest

from tests.served import compose
from tests.served.harness import children, kill, wait_until

pytestmark = pytest.mark.service


def worker(house):
    return house.start(*compose.command("worker"))


def beat(house):
    schedule = str(house.folder / "beat-schedule")
    return house.start(*compose.command("beat", **{"/tmp/beat-schedule": schedule}))


def keys_of(writer) -> list[str]:
    """What the writer has said that it has committed, up to its death."""
    said, _nothing = writer.communicate(timeout=60)
    # The last line may be torn by the kill: then it was never said.
    return [line for line in said.decode().split("\n")[:-1] if line]


def waiting(database) -> int:
    ((count,),) = database.ask("SELECT count(*) FROM outbox_letter WHERE state <> 'sent'")
    return count


def all_gone(database, house, *, seconds: float) -> None:
    try:
        wait_until(lambda: waiting(database) == 0, seconds=seconds, what="sending every letter")
    except BaseException:
        print(house.words())
        raise


def letters_of(database, keys) -> dict[str, str]:
    """Message-ID of each of these events."""
    wanted = set(keys)
    return {
        key: message
        for key, message in database.ask("SELECT dedupe_key, message_id FROM outbox_letter")
        if key in wanted
    }


def accepted_after(sink, count):
    start = sum(sink.accepted.values())
    return lambda: sum(sink.accepted.values()) >= start + count


def nothing_lost(database, sink, keys, *, repeats: int) -> None:
    letters = letters_of(database, keys)
    assert set(letters) == set(keys)
    assert len(set(letters.values())) == len(keys)
    missing = [message for message in letters.values() if not sink.accepted[message]]
    assert missing == []
    again = sum(sink.accepted[message] - 1 for message in letters.values())
    assert again <= repeats


def test_workers_killed_in_the_middle_of_their_letters(house, migrated, sink):
    beat(house)
    writer = house.script("letters", "90", stdout=subprocess.PIPE)
    kills = 4
    for number in range(kills):
        running = worker(house)
        wait_until(accepted_after(sink, 6), seconds=90, what="the worker sending")
        time.sleep(0.017 * number)
        kill(running)
    keys = keys_of(writer)
    assert len(keys) == 90
    worker(house)
    all_gone(migrated, house, seconds=120)
    # Two children each may die in the instant between answer and commit.
    nothing_lost(migrated, sink, keys, repeats=2 * kills)


def test_children_of_the_worker_killed(house, migrated, sink):
    beat(house)
    running = worker(house)
    writer = house.script("letters", "60", stdout=subprocess.PIPE)
    kills = 0
    for number in range(5):
        wait_until(accepted_after(sink, 5), seconds=90, what="the worker sending")
        time.sleep(0.013 * number)
        for child in children(running)[:1]:
            subprocess.run(["kill", "-9", str(child)], check=False)
            kills += 1
    assert kills == 5
    keys = keys_of(writer)
    all_gone(migrated, house, seconds=120)
    assert running.poll() is None
    nothing_lost(migrated, sink, keys, repeats=kills)


def test_the_web_killed_while_it_writes_facts(house, migrated, sink):
    worker(house)
    beat(house)
    said = []
    for lines, pause in ((1, 0.0), (3, 0.004), (6, 0.011), (10, 0.02)):
        writer = house.script("messages", "400", stdout=subprocess.PIPE)
        for _line in range(lines):
            said.append(writer.stdout.readline().decode().strip())
        time.sleep(pause)
        kill(writer)
    committed = [str(pk) for (pk,) in migrated.ask("SELECT id FROM record_message")]
    assert set(said) <= set(committed)
    wait_until(
        lambda: (
            migrated.ask(
                "SELECT count(*) FROM record_message m LEFT JOIN letters_draft d ON d.message_id = m.id "
                "WHERE d.letter_id IS NULL"
            )
            == [(0,)]
        ),
        seconds=120,
        what="a letter for every message",
    )
    all_gone(migrated, house, seconds=120)
    nothing_lost(migrated, sink, [f"message:{pk}" for pk in committed], repeats=0)
    # A letter is never sent for a fact that was not committed.
    known = {message for (message,) in migrated.ask("SELECT message_id FROM outbox_letter")}
    assert set(sink.accepted) <= known


def test_redis_killed_and_emptied(house, migrated, sink, redis):
    worker(house)
    beat(house)
    writer = house.script("letters", "60", "0.1", stdout=subprocess.PIPE)
    wait_until(accepted_after(sink, 5), seconds=90, what="the worker sending")
    for wiped in (False, True):
        redis.kill()
        time.sleep(2.0)
        if wiped:
            redis.wipe()
        redis.start()
        time.sleep(1.0)
    keys = keys_of(writer)
    assert writer.returncode == 0
    assert len(keys) == 60
    all_gone(migrated, house, seconds=90)
    nothing_lost(migrated, sink, keys, repeats=0)
