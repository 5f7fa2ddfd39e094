"""Whoever sends is woken at commit and never before; a broker that is down costs a page almost nothing."""

import ast
import os
import subprocess
import sys
import time

import pytest
from django.db import transaction

from studio.outbox import actions, queue, tasks
from studio.outbox.models import Letter, State
from tests.studio.outbox.post_office import free_port


@pytest.fixture(autouse=True)
def asleep():
    queue.wake.clear()
    yield
    queue.wake.clear()


def put(key="x"):
    return actions.put(kind="test", to="a@b.example", subject="News", text="News.", dedupe_key=key)


@pytest.mark.django_db(transaction=True)
def test_a_letter_wakes_the_sender_at_commit_and_not_before():
    with transaction.atomic():
        put()
        assert not queue.wake.is_set()
    assert queue.wake.is_set()


@pytest.mark.django_db(transaction=True)
def test_what_is_rolled_back_wakes_nobody_and_leaves_no_letter():
    with pytest.raises(ZeroDivisionError), transaction.atomic():
        put()
        raise ZeroDivisionError
    assert not queue.wake.is_set()
    assert Letter.objects.count() == 0


def served_options() -> dict:
    """The broker's options as the served way has them, read from a house that has a broker address."""
    read = "from studio import settings; print(repr(settings.CELERY_BROKER_TRANSPORT_OPTIONS))"
    environment = {
        **os.environ,
        "RINGWRIGHT_BROKER_URL": "redis://127.0.0.1:1/0",
        "RINGWRIGHT_SECRET_KEY": "x" * 40,
    }
    done = subprocess.run(
        [sys.executable, "-c", read], env=environment, capture_output=True, text=True, check=True, timeout=60
    )
    return ast.literal_eval(done.stdout)


@pytest.fixture
def dead_broker(settings, monkeypatch):
    """The served way, with a broker address where nobody answers."""
    from studio.celery import app

    settings.SERVED = True
    monkeypatch.setattr(tasks, "_rest_until", 0.0)
    address = f"redis://127.0.0.1:{free_port()}/0"
    before = app.conf.broker_url, app.conf.broker_transport_options
    app.pool.force_close_all()
    app.conf.update(broker_url=address, broker_transport_options=served_options())
    app.conf.broker_read_url = app.conf.broker_write_url = address
    app.amqp._producer_pool = None
    app._pool = None
    yield
    app.conf.update(broker_url=before[0], broker_transport_options=before[1])
    app.conf.broker_read_url = app.conf.broker_write_url = before[0]
    app.amqp._producer_pool = None
    app._pool = None


@pytest.mark.django_db(transaction=True)
def test_a_broker_that_is_down_loses_nothing_and_is_asked_once(dead_broker, caplog):
    began = time.monotonic()
    for number in range(20):
        put(f"x{number}")
    assert time.monotonic() - began < 15, "one wait for all twenty, not twenty waits"
    assert Letter.objects.filter(state=State.WAITING).count() == 20
    assert [record.levelname for record in caplog.records if "broker" in record.message] == ["WARNING"]


@pytest.mark.django_db(transaction=True)
def test_letters_are_published_by_their_key_alone(settings, monkeypatch):
    settings.SERVED = True
    published = []
    monkeypatch.setattr(
        tasks.send_letter, "apply_async", lambda args, **options: published.append((args, options["retry"]))
    )
    letter = put()
    assert published == [((letter.pk,), False)]
