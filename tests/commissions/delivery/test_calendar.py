"""The calendar feed, read by another library than the one that wrote it."""

import datetime

import pytest
import vobject
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.delivery import actions, calendar
from commissions.delivery.models import CalendarKey, CareDate
from commissions.letters.discretion import discreet_words
from commissions.record.actions import open_commission
from commissions.record.models import Commission
from commissions.sourcing.models import Stone
from studio import clock
from studio.people.queries import hashed

PROMISED, BACK, CHECK = (datetime.date(2026, 12, day) for day in (4, 7, 9))


@pytest.fixture
def dated(commission):
    """One commission with a promised date, a stone on approval and a date of care."""
    Commission.objects.filter(pk=commission.pk).update(promised_on=PROMISED)
    Stone.objects.create(
        commission=commission, name="Round 6.51", origin="natural", outline={"cut": "round", "diameter_mm": 6.51},
        length_hmm=651, width_hmm=651, depth_hmm=402, owner="supplier", state="on-approval", return_by=BACK,
        made_at=clock.now(),
    )  # fmt: skip
    CareDate.objects.create(
        commission=commission, due_on=CHECK, words="First claw and halo check", client_words="First check"
    )
    commission.refresh_from_db()
    return commission


def entries() -> dict[datetime.date, str]:
    """Day and words of every entry, as the other library reads them."""
    return {
        row.dtstart.value: row.summary.value for row in vobject.readOne(calendar.feed().decode()).vevent_list
    }


def test_another_library_reads_every_date(dated):
    reference = dated.reference
    assert entries() == {
        PROMISED: f"Promised: {reference}",
        BACK: f"Stone to give back or buy: {reference}",
        CHECK: f"First claw and halo check: {reference}",
    }
    for row in vobject.readOne(calendar.feed().decode()).vevent_list:
        assert row.dtend.value - row.dtstart.value == datetime.timedelta(days=1)
        assert row.validate(raiseException=True)


def test_of_a_surprise_nothing_but_its_reference(dated):
    Commission.objects.update(discreet=True)
    assert set(entries().values()) == {f"Date {dated.reference}"}
    text = calendar.feed().decode().replace("@ringwright", "").replace("//Ringwright//", "")
    assert discreet_words(text) == []


def test_the_key_is_shown_once_and_the_old_one_ends(dated, owner, jeweller, client):
    client.force_login(jeweller)
    assert client.post("/studio/dispatch/calendar/").status_code == 403
    client.force_login(owner)
    page = client.post("/studio/dispatch/calendar/").content.decode()
    key = page.split("/calendar/")[-1].split("/studio.ics")[0]
    assert CalendarKey.objects.get().digest == hashed(key)
    assert key not in client.get("/studio/dispatch/calendar/").content.decode()
    answer = Browser().get(f"/calendar/{key}/studio.ics")
    assert answer["Content-Type"].startswith("text/calendar")
    assert PROMISED.strftime("%Y%m%d") in answer.content.decode()
    new = actions.make_calendar_key(person=owner)
    assert Browser().get(f"/calendar/{key}/studio.ics").status_code == 404
    assert Browser().get(f"/calendar/{new}/studio.ics").status_code == 200
    actions.end_calendar(person=owner)
    assert Browser().get(f"/calendar/{new}/studio.ics").status_code == 404


def test_thirty_rings_ask_no_more_than_one(dated, owner, joachim):
    with CaptureQueriesContext(connection) as one:
        calendar.feed()
    for number in range(29):
        row = open_commission(client=joachim, title="Ring", currency="GBP", person=owner)
        Commission.objects.filter(pk=row.pk).update(promised_on=PROMISED)
        CareDate.objects.create(
            commission=row,
            due_on=CHECK + datetime.timedelta(days=number),
            words="Check",
            client_words="Check",
        )
    with CaptureQueriesContext(connection) as thirty:
        assert calendar.feed().count(b"BEGIN:VEVENT") == 61
    assert len(thirty) == len(one)
