"""The trail as the owner reads it: in words, narrowed down, taken along, and proven."""

import datetime
import hashlib
import json

import pytest
from django.core.management import CommandError, call_command
from django.db import connection
from django.test.utils import CaptureQueriesContext

from commissions.record.actions import post_message
from studio import clock
from studio.trail import queries
from studio.trail.actions import prove_daily, record
from studio.trail.models import Entry, Proof

TRAIL = "/studio/trail/"


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def told(commission, owner, jeweller, client):
    """Three things that were done, by a person, by a client, by the clock."""
    with clock.standing_at(datetime.datetime(2026, 3, 1, 23, 30, tzinfo=datetime.UTC)):
        record(actor=owner, verb="kept a limit", subject="policy", facts={"as_of": "2026-01-05"})
    with clock.standing_at(datetime.datetime(2026, 3, 2, 9, 0, tzinfo=datetime.UTC)):
        record(
            actor=commission.client.full_name,
            verb="agreed",
            subject=commission.reference,
            facts={"digest": "a" * 64, "void": False, "lines": [1, 2]},
        )
    record(actor="the studio's clock", verb="removed the address", subject=commission.reference)
    client.force_login(owner)
    return commission


def break_the_chain():
    """What only the owner of the database could do: take the guard away and write over an entry."""
    with connection.cursor() as cursor:
        if connection.vendor == "sqlite":
            cursor.execute("DROP TRIGGER trail_entry_no_update")
        else:
            cursor.execute("DROP TRIGGER trail_entry_no_change ON trail_entry")
        cursor.execute("UPDATE trail_entry SET verb = 'declined' WHERE verb = 'agreed'")


def test_it_reads_in_words_with_names_and_ways(told, client):
    page = client.get(TRAIL).content.decode()
    assert "Agreed</span>" in page and f'data-label="Who">{told.client.full_name}<' in page
    assert f'href="/studio/commissions/{told.reference}/"' in page
    assert told.title in page
    assert "Kept a limit</span>" in page and 'data-label="Who">Ottoline Brackwater<' in page
    assert "as of: 2026-01-05" in page
    assert "void: no" in page and "lines: 1, 2" in page and "aaaaaaaaaaaa…" in page


def test_a_clients_name_is_not_kept_where_nothing_can_be_taken_out(told):
    assert not Entry.objects.filter(actor__contains=told.client.full_name).exists()
    assert Entry.objects.get(verb="agreed").actor == f"client:{told.client.access_id}"


def test_a_clients_new_name_does_not_break_the_chain(told, client):
    told.client.full_name = "Joachim Anders"
    told.client.save(update_fields=["full_name"])
    assert 'data-label="Who">Joachim Anders<' in client.get(TRAIL).content.decode()
    assert queries.first_break() is None


def found(client, **asked):
    return [row.entry.verb for row in client.get(TRAIL, asked).context["rows"]]


def test_it_can_be_narrowed_down(told, client):
    assert "kept a limit" in found(client, who="ottoline")
    assert "agreed" not in found(client, who="ottoline")
    assert found(client, verb="agreed") == ["agreed"]
    assert set(found(client, subject=told.reference.lower())) >= {"agreed", "removed the address"}
    # 23:30 UTC on 1 March is 23:30 in London: the day is the reader's own.
    assert found(client, first="1 3 2026", last="1 3 2026") == ["kept a limit"]
    assert found(client, first="2 March 2026", last="2 3 2026") == ["agreed"]
    page = client.get(TRAIL, {"first": "2 3 2026", "last": "1 3 2026"}).content.decode()
    assert "This day comes before the first." in page
    assert 'value="2 3 2026"' in page
    page = client.get(TRAIL, {"first": "the day before"}).content.decode()
    assert "Error:" in page and "the day before" in page


def test_it_is_taken_along_as_json_lines_that_prove_themselves(told, client):
    body = b"".join(client.get(f"{TRAIL}trail.jsonl")).decode()
    rows = [json.loads(line) for line in body.splitlines()]
    assert len(rows) == Entry.objects.count()
    previous = "0" * 64
    for row in rows:
        # As an outsider would: SHA-256 over the canonical JSON, without our code.
        text = json.dumps(
            [row[k] for k in ("number", "at", "actor", "verb", "subject", "facts", "previous")],
            ensure_ascii=False,
            sort_keys=True,
            separators=(",", ":"),
        )
        assert row["previous"] == previous
        assert hashlib.sha256(text.encode()).hexdigest() == row["digest"]
        previous = row["digest"]


def test_a_table_holds_what_was_asked_for_and_no_formula(told, owner, client):
    record(actor="=HYPERLINK(1)", verb="agreed", subject="x")
    answer = client.get(f"{TRAIL}trail.csv", {"verb": "agreed"})
    lines = b"".join(answer).decode().splitlines()
    assert answer["Content-Disposition"] == 'attachment; filename="trail.csv"'
    assert lines[0].startswith("number,at,actor,verb")
    assert len(lines) == 3
    assert ",'=HYPERLINK(1)," in lines[2]


def test_the_chain_is_proven_on_the_page_and_a_break_is_named(told, client):
    assert "has not been walked yet" in client.get(TRAIL).content.decode()
    client.post(f"{TRAIL}prove/")
    page = client.get(TRAIL).content.decode()
    assert "The chain holds" in page and f"{Entry.objects.count()} entries" in page
    number = Entry.objects.get(verb="agreed").number
    break_the_chain()
    client.post(f"{TRAIL}prove/")
    assert f"does not hold at entry {number}" in client.get(TRAIL).content.decode()
    with pytest.raises(CommandError, match=f"entry {number}"):
        call_command("verify_trail")


def test_the_sweep_proves_it_once_a_day(told):
    now = clock.now()
    assert prove_daily() is True
    assert prove_daily() is False
    with clock.standing_at(now + datetime.timedelta(hours=25)):
        assert prove_daily() is True
    with clock.standing_at(now + datetime.timedelta(days=400)):
        prove_daily()
    assert Proof.objects.count() == 1


@pytest.mark.parametrize("path", ["", "prove/", "trail.csv", "trail.jsonl"])
def test_it_is_the_owners_alone(told, client, jeweller, path):
    client.force_login(jeweller)
    send = client.post if path == "prove/" else client.get
    assert send(TRAIL + path).status_code == 403
    client.logout()
    assert send(TRAIL + path)["Location"].startswith("/studio/sign-in/")


def test_the_number_of_queries_does_not_grow(told, owner, client):
    client.get(TRAIL)
    with CaptureQueriesContext(connection) as few:
        client.get(TRAIL)
    for number in range(30):
        post_message(commission=told, body="It goes on.", from_client=False, person=owner)
        record(actor=owner, verb=f"did {number}", subject=told.reference)
    with CaptureQueriesContext(connection) as many:
        assert len(client.get(TRAIL).context["rows"]) > 30
    assert len(many) == len(few)


def test_older_entries_keep_what_was_asked_for(told, owner, client):
    for _number in range(60):
        record(actor=owner, verb="weighed", subject=told.reference)
    page = client.get(TRAIL, {"verb": "weighed"})
    older = page.context["older"]
    assert len(page.context["rows"]) == 50
    assert f"?verb=weighed&amp;before={older}" in page.content.decode()
    assert len(client.get(TRAIL, {"verb": "weighed", "before": older}).context["rows"]) == 10
