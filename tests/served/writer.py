"""
What a web process does: facts and letters committed one after the other, each said on stdout once committed.

Run as ``python -m tests.served.writer letters|messages|crowd COUNT [PAUSE]``, to be killed at any moment.
"""

from __future__ import annotations

import sys
import time
import uuid

import django


def letters(count: int, pause: float) -> None:
    """Letters put into the outbox, each in a transaction of its own."""
    from django.db import transaction

    from studio.outbox.actions import put

    for _number in range(count):
        key = uuid.uuid4().hex
        with transaction.atomic():
            put(
                kind="test",
                to="client@client.example",
                subject="News",
                text="It goes on.\n",
                html="<p>It goes on.</p>",
                dedupe_key=key,
            )
        print(key, flush=True)
        time.sleep(pause)


def messages(count: int, pause: float) -> None:
    """Commissions with one message of ours each: facts whose letters the sweep has yet to write."""
    from commissions.record.actions import open_commission, post_message
    from tests.cast import ring_client

    person = _owner()
    for _number in range(count):
        client = ring_client(email=f"{uuid.uuid4().hex}@client.example")
        commission = open_commission(client=client, title="A ring", currency="GBP", person=person)
        message = post_message(commission=commission, body="It goes on.", from_client=False, person=person)
        print(message.pk, flush=True)
        time.sleep(pause)


def crowd(count: int, pause: float) -> None:
    """Eight threads, each with a connection of its own, that read and then write as pages do."""
    import threading

    from django.db import connection

    failed = []

    def work() -> None:
        try:
            messages(count, pause)
        except Exception as error:
            failed.append(error)
        finally:
            connection.close()

    threads = [threading.Thread(target=work) for _number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if failed:
        raise failed[0]


def _owner():
    from studio import clock
    from studio.people.models import Person, Role

    email = f"{uuid.uuid4().hex}@studio.example"
    return Person.objects.create(
        email=email, full_name="Ottoline Brackwater", role=Role.OWNER, password="!", joined_at=clock.now()
    )


if __name__ == "__main__":
    django.setup()
    {"letters": letters, "messages": messages, "crowd": crowd}[sys.argv[1]](
        int(sys.argv[2]), float(sys.argv[3]) if len(sys.argv) > 3 else 0.0
    )
