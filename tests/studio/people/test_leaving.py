"""Sessions of the studio's people, and what has to be so before somebody's access ends."""

import datetime

import pytest
from django.contrib.sessions.models import Session
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from django.utils import timezone

from commissions.bench.actions import move_metal
from commissions.bench.models import MetalLot, MovementKind, Step, SupplierJob, TimeEntry
from commissions.delivery.actions import make_calendar_key
from commissions.delivery.queries import calendar_key_is_good
from commissions.sourcing.models import LotKind, LotMove, MeleeLot, Stone
from studio import clock
from studio.people.actions import sessions, staff
from studio.people.leaving import holdings_of
from studio.people.models import ClientSession, Person, StaffSession, TakenOver
from studio.trail.models import Entry
from tests.cast import PASSWORD, person

PHONE = "Mozilla/5.0 (Linux; Android 14) AppleWebKit/537.36 Chrome/126.0 Mobile Safari/537.36"
DESK = "Mozilla/5.0 (X11; Linux x86_64; rv:128.0) Gecko/20100101 Firefox/128.0"


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def come_in(who, agent=DESK) -> Browser:
    browser = Browser(HTTP_USER_AGENT=agent)
    assert browser.post("/studio/sign-in/", {"email": who.email, "password": PASSWORD}).status_code == 302
    return browser


def is_in(browser) -> bool:
    return browser.get("/studio/").status_code == 200


def test_somebody_sees_where_they_are_signed_in_and_ends_one(jeweller):
    desk, phone = come_in(jeweller), come_in(jeweller, PHONE)
    page = desk.get("/studio/sessions/").content.decode()
    assert "Firefox on Linux" in page and "Chrome on Android" in page
    row = StaffSession.objects.get(device="Chrome on Android")
    desk.post("/studio/sessions/", {"session": row.pk})
    assert is_in(desk) and not is_in(phone)
    assert "Chrome on Android" not in desk.get("/studio/sessions/").content.decode()
    assert Entry.objects.filter(verb="ended a session", facts__device="Chrome on Android").exists()


def test_all_others_end_at_once(jeweller):
    desk, others = come_in(jeweller), [come_in(jeweller, PHONE) for _number in range(2)]
    desk.post("/studio/sessions/", {"others": "1"})
    assert is_in(desk)
    assert not any(is_in(browser) for browser in others)


def test_nobody_ends_the_session_of_somebody_else(jeweller, setter):
    mine, theirs = come_in(jeweller), come_in(setter)
    mine.post("/studio/sessions/", {"session": StaffSession.objects.get(person=setter).pk})
    assert is_in(theirs)
    assert mine.get(f"/studio/people/{setter.pk}/").status_code == 403


def test_the_owner_ends_the_session_of_a_lost_phone(owner, jeweller):
    browser, phone = come_in(owner), come_in(jeweller, PHONE)
    row = StaffSession.objects.get(person=jeweller)
    assert "Chrome on Android" in browser.get(f"/studio/people/{jeweller.pk}/").content.decode()
    browser.post(f"/studio/people/{jeweller.pk}/sessions/{row.pk}/")
    assert not is_in(phone)


def test_a_session_in_use_is_noted_once_a_minute(jeweller, client):
    client.force_login(jeweller)
    client.get("/studio/")
    row = StaffSession.objects.get()
    with CaptureQueriesContext(connection) as seen:
        client.get("/studio/password/")
    assert not [query for query in seen.captured_queries if "people_staffsession" in query["sql"]]
    assert row.session_key == client.session.session_key


def test_sessions_that_ran_out_go_and_live_ones_stay(jeweller, joachim):
    live, old = come_in(jeweller), come_in(jeweller)
    Session.objects.filter(session_key=old.session.session_key).update(
        expire_date=timezone.now() - datetime.timedelta(minutes=1)
    )
    now = clock.now()
    kinds = {"ended": {"ended_at": now - datetime.timedelta(days=31)}, "fresh": {"ended_at": now}, "open": {}}
    for name, more in kinds.items():
        ClientSession.objects.create(
            access=joachim.access,
            key_hash=name,
            device=name,
            began_at=now - datetime.timedelta(days=40),
            seen_at=now,
            changed_at=now,
            **more,
        )
    assert sessions.forget_old_sessions() == 2
    assert is_in(live) and not is_in(old)
    assert sorted(ClientSession.objects.values_list("device", flat=True)) == ["fresh", "open"]


# -- leaving --------------------------------------------------------------------------------------


def a_stone(commission, holder):
    return Stone.objects.create(
        commission=commission,
        name="Round 6.51",
        origin="natural",
        outline={},
        length_hmm=651,
        width_hmm=651,
        depth_hmm=400,
        weight_mct=1012,
        state="checked-in",
        holder=holder,
        made_at=clock.now(),
    )


def issue_melee(commission, holder):
    lot = MeleeLot.objects.create(name="1.3 mm natural", origin="natural", size_hmm=130, made_at=clock.now())
    for kind, count in ((LotKind.RECEIVE, 40), (LotKind.ISSUE, 20)):
        LotMove.objects.create(
            lot=lot,
            kind=kind,
            count=count,
            weight_mct=count * 10,
            commission=commission if kind == LotKind.ISSUE else None,
            holder=holder if kind == LotKind.ISSUE else "",
            by_words="x",
            at=clock.now(),
        )
    return lot


def issue_metal(commission, person, mg=8420):
    lot = MetalLot.objects.create(
        name="Au750 March", alloy="18 ct yellow", fineness_ppt=750, opened_at=clock.now()
    )
    move_metal(lot=lot, kind=MovementKind.IN, mg=60_000, person=person)
    move_metal(lot=lot, kind=MovementKind.ISSUE, mg=mg, person=person, commission=commission)
    return lot


def test_nobody_leaves_with_stones_or_metal_in_their_hands(owner, setter, commission):
    stone = a_stone(commission, "Ivo")  # the bench writes first names
    a_stone(commission, "The safe")
    lot = issue_melee(commission, setter.full_name)
    issue_metal(commission, setter)
    Step.objects.create(
        commission=commission, position=1, stage="setting", name="Set", state="open", started_by=setter
    )
    browser, theirs = come_in(owner), come_in(setter)
    page = browser.get(f"/studio/people/{setter.pk}/").content.decode()
    for words in (
        "Round 6.51, 1.012 ct",
        "20 stones of 1.3 mm natural",
        "8.420 g of Au750 March",
        "The step Set",
    ):
        assert words in page
    assert "End access</button>" not in page
    answer = browser.post(f"/studio/people/{setter.pk}/let-go/", follow=True)
    assert "still holds something" in answer.content.decode()
    assert is_in(theirs)
    # Each is handed over in its own way.
    browser.post(f"/studio/stones/{stone.pk}/hand-over/", {"holder": "The safe"})
    LotMove.objects.create(
        lot=lot,
        kind=LotKind.RETURN,
        count=20,
        weight_mct=200,
        commission=commission,
        by_words="x",
        at=clock.now(),
    )
    for row in holdings_of(person=setter):
        browser.post(f"/studio/people/{setter.pk}/take-over/", {"key": row.key, "to": owner.pk})
    assert holdings_of(person=setter) == []
    assert TakenOver.objects.filter(to=owner).count() == 2
    assert Entry.objects.filter(verb="noted a handing over").count() == 2
    browser.post(f"/studio/people/{setter.pk}/let-go/")
    assert not is_in(theirs)
    assert not Person.objects.get(pk=setter.pk).is_active


def test_a_note_no_longer_counts_when_the_amount_has_changed(owner, jeweller, commission):
    lot = issue_metal(commission, jeweller, mg=5000)
    staff.take_over(person=jeweller, key=holdings_of(person=jeweller)[0].key, to=owner, by=owner)
    assert holdings_of(person=jeweller) == []
    move_metal(lot=lot, kind=MovementKind.ISSUE, mg=1000, person=jeweller, commission=commission)
    assert [row.words for row in holdings_of(person=jeweller)] == [
        f"6.000 g of Au750 March for {commission.reference}"
    ]


def test_only_somebody_who_is_here_takes_over(owner, jeweller, setter, commission):
    issue_metal(commission, jeweller)
    key = holdings_of(person=jeweller)[0].key
    staff.let_go(person=setter, by=owner)
    setter.refresh_from_db()
    for wrong in (setter, jeweller):
        with pytest.raises(staff.StillNeeded):
            staff.take_over(person=jeweller, key=key, to=wrong, by=owner)
    with pytest.raises(LookupError):
        staff.take_over(person=jeweller, key="metal:1:1:1", to=owner, by=owner)
    page = come_in(owner).post(
        f"/studio/people/{jeweller.pk}/take-over/", {"key": key, "to": ""}, follow=True
    )
    assert "Say who has it now." in page.content.decode()


def test_links_keys_and_the_running_clock_end_with_them(owner, setter, commission, jeweller):
    now = clock.now()
    job = {
        "commission": commission,
        "task": "setter",
        "supplier": "Brindle Setting",
        "words": "Set",
        "due_on": clock.today(),
        "sent_at": now,
        "link_until": now + datetime.timedelta(days=9),
    }
    theirs = SupplierJob.objects.create(sent_by=jeweller, link_hash="a", **job)
    other = SupplierJob.objects.create(sent_by=owner, link_hash="b", **job)
    TimeEntry.objects.create(commission=commission, person=jeweller, started_at=now)
    key = make_calendar_key(person=jeweller)
    ended = staff.let_go(person=jeweller, by=owner)
    assert ended == ["1 link to suppliers", "their running clock", "the key of the calendar feed"]
    theirs.refresh_from_db()
    other.refresh_from_db()
    assert theirs.link_hash == "" and theirs.link_until <= clock.now()
    assert other.link_hash == "b"
    assert not TimeEntry.objects.filter(ended_at__isnull=True).exists()
    assert not calendar_key_is_good(key=key)
    assert Entry.objects.get(verb="ended access").facts["also ended"] == ended


def test_a_key_that_somebody_else_made_stays(owner, jeweller):
    key = make_calendar_key(person=owner)
    assert staff.let_go(person=jeweller, by=owner) == []
    assert calendar_key_is_good(key=key)


def test_the_number_of_queries_does_not_grow_with_what_is_held(owner, setter, commission):
    issue_metal(commission, setter)
    browser = come_in(owner)
    path = f"/studio/people/{setter.pk}/"
    browser.get(path)
    with CaptureQueriesContext(connection) as few:
        browser.get(path)
    for number in range(30):
        Stone.objects.create(
            name=f"Stone {number}",
            origin="natural",
            outline={},
            length_hmm=1,
            width_hmm=1,
            depth_hmm=1,
            state="checked-in",
            holder="Ivo",
            made_at=clock.now(),
        )
        person(email=f"{number}@studio.example", full_name=f"Person {number}", role="setter")
    with CaptureQueriesContext(connection) as many:
        assert len(browser.get(path).context["holdings"]) == 31
    assert len(many) == len(few)
