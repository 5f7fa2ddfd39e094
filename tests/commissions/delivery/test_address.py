"""Where it goes: who may read it, when, and that it goes away."""

import datetime
from importlib import import_module
from types import SimpleNamespace
from unittest import mock

import pytest
from django.db import connection
from django.test import Client as Browser

from commissions.delivery import actions, queries
from commissions.delivery.models import Address
from commissions.delivery.tasks import purge_addresses
from commissions.record.errors import Refused
from commissions.record.models import Question
from studio import clock
from studio.outbox.models import Letter
from studio.trail.models import Entry
from tests.commissions.delivery.conftest import at_handover, confirm
from tests.post import sign_in_client

STREET = "14 Invented Quay"


def test_it_is_asked_for_when_the_ring_leaves_and_not_before(commission, owner):
    with pytest.raises(Refused):
        confirm(commission)
    at_handover(commission, owner)
    actions.ask_for_address(commission=commission)
    confirm(commission)
    assert Question.objects.get(commission=commission, key="delivery.address").answered_at


def test_handover_people_alone_read_it(ready, owner, jeweller, setter):
    assert queries.address_for(commission=ready, person=owner).lines.startswith(STREET)
    assert queries.address_for(commission=ready, person=jeweller)
    assert queries.address_for(commission=ready, person=setter) is None


def test_the_window_closes(arrived, owner):
    assert queries.address_for(commission=arrived.commission, person=owner)
    with clock.standing_at(clock.now() + datetime.timedelta(days=14, minutes=1)):
        assert queries.address_for(commission=arrived.commission, person=owner) is None


def test_outside_the_window_nobody_reads_it(ready, owner):
    ready.stage = "setting"
    assert queries.address_for(commission=ready, person=owner) is None


def test_it_stands_on_no_other_page_and_in_no_letter(arrived, owner, setter, client, joachim):
    reference = arrived.commission.reference
    client.force_login(owner)
    delivery = f"/studio/commissions/{reference}/delivery/"
    assert STREET in client.get(delivery).content.decode()
    for path in (
        "/studio/",
        "/studio/commissions/",
        f"/studio/commissions/{reference}/",
        "/studio/dispatch/",
    ):
        answer = client.get(path)
        assert answer.status_code == 200
        assert STREET not in answer.content.decode()
    client.force_login(setter)
    assert client.get(delivery).status_code == 403
    device = sign_in_client(Browser(), joachim)
    for path in ("delivery/", "care/", ""):
        assert STREET not in device.get(f"/yours/{reference}/{path}").content.decode()
    assert Entry.objects.exists()
    assert not [row for row in Entry.objects.all() if STREET in f"{row.verb} {row.subject} {row.facts}"]
    assert not Letter.objects.filter(text__contains=STREET).exists()


def test_changing_it_asks_for_the_passphrase(ready, joachim):
    path = f"/yours/{ready.reference}/delivery/address/"
    device = sign_in_client(Browser(), joachim)
    assert "/passphrase" in device.get(path)["Location"] or "step" in device.get(path)["Location"]
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    page = device.get(path)
    assert page.status_code == 200 and STREET in page.content.decode()
    typed = {"addressee": "J. S.", "lines": "2 Other Quay", "country": "DE"}
    assert device.post(path, {**typed, "lines": ""}).status_code == 200
    assert device.post(path, typed).status_code == 302
    assert Address.objects.get().lines == "2 Other Quay"


def stored() -> str:
    """Every row of every table as the database holds it; on SQLite the bytes of its file as well."""
    found = []
    with connection.cursor() as cursor:
        for table in connection.introspection.table_names(cursor):
            cursor.execute(f"SELECT * FROM {connection.ops.quote_name(table)}")
            found.append(f"{table}: {cursor.fetchall()}")
    if connection.vendor == "sqlite":
        found.append(connection.connection.serialize().decode("utf-8", errors="replace"))
    return "\n".join(found)


def test_no_table_and_no_file_of_the_database_holds_it(arrived):
    row = Address.objects.get()
    assert row.lines.startswith(STREET) and row.addressee
    everything = stored()
    assert arrived.commission.reference in everything  # the scan sees what is there
    assert STREET not in everything
    assert "Invented" not in everything
    with connection.cursor() as cursor:
        cursor.execute("SELECT addressee, lines FROM delivery_address")
        assert all(value.startswith("gAAAAA") for value in cursor.fetchone())  # the mark of Fernet's tokens


def test_no_log_and_no_error_page_holds_it(ready, joachim, caplog, settings):
    settings.DEBUG_PROPAGATE_EXCEPTIONS = False
    device = sign_in_client(Browser(raise_request_exception=False), joachim, stepped_up=True)
    path = f"/yours/{ready.reference}/delivery/address/"
    with caplog.at_level("DEBUG"), mock.patch.object(actions, "confirm_address", side_effect=RuntimeError):
        answer = device.post(path, {"addressee": "J. S.", "lines": "2 Other Quay", "country": "DE"})
    assert answer.status_code == 500
    assert "Other Quay" not in answer.content.decode()
    assert caplog.records
    assert "Other Quay" not in caplog.text and STREET not in caplog.text


def test_what_stood_open_before_is_sealed_by_the_migration(ready):
    migration = import_module("commissions.delivery.migrations.0005_sealed_address")
    editor = SimpleNamespace(connection=connection)
    migration.open_what_stands(None, editor)
    assert STREET in stored()
    migration.seal_what_stands(None, editor)
    assert Address.objects.get().lines.startswith(STREET)
    with connection.cursor() as cursor:
        cursor.execute("SELECT lines FROM delivery_address")
        assert STREET not in str(cursor.fetchall())


def test_it_is_removed_ninety_days_after_the_proof(arrived):
    with clock.standing_at(arrived.arrived_at + datetime.timedelta(days=89, hours=23)):
        assert purge_addresses() == 0
    assert Address.objects.get().lines.startswith(STREET)
    with clock.standing_at(arrived.arrived_at + datetime.timedelta(days=90, minutes=1)):
        assert purge_addresses() == 1
        assert purge_addresses() == 0
    row = Address.objects.get()
    assert (row.addressee, row.lines, row.country) == ("", "", "")
    assert row.gone_at
    assert Entry.objects.filter(verb="removed the address").count() == 1


def test_a_ring_on_its_way_keeps_its_address(sent):
    with clock.standing_at(clock.now() + datetime.timedelta(days=200)):
        assert purge_addresses() == 0


@pytest.mark.parametrize("part", ["delivery/", "delivery/address/", "care/"])
def test_a_client_page_is_one_clients(arrived, joachim, delphine, part):
    path = f"/yours/{arrived.commission.reference}/{part}"
    assert sign_in_client(Browser(), joachim, stepped_up=True).get(path).status_code == 200
    assert sign_in_client(Browser(), delphine, stepped_up=True).get(path).status_code == 404
    stranger = Browser().get(path)
    assert stranger.status_code == 302 and stranger["Location"].startswith("/in/")


def test_another_client_confirms_nothing(sent, delphine, joachim):
    path = f"/yours/{sent.commission.reference}/delivery/arrived/"
    assert sign_in_client(Browser(), delphine).post(path, {"words": ""}).status_code == 404
    assert Browser().post(path, {"words": ""}).status_code == 302
    sent.refresh_from_db()
    assert sent.arrived_at is None
    device = sign_in_client(Browser(), joachim)
    assert device.post(path, {"words": "One stone is loose."}).status_code == 302
    sent.refresh_from_db()
    assert sent.arrived_at
    assert sent.commission.messages.get().body == "One stone is loose."
