"""Stones on approval: reminded of in time, kept longer in writing, bought, sent back as they came; who holds what."""

import datetime

import pytest
from django.db import DatabaseError, connection, transaction
from django.test.utils import CaptureQueriesContext

from commissions.record.errors import Refused
from commissions.record.models import Question
from commissions.sourcing import actions, queries
from commissions.sourcing.models import ApprovalEvent, Owner, Stone, StoneState
from commissions.sourcing.queries.approvals import working_days_left
from commissions.sourcing.tasks import remind_of_returns
from studio import clock
from tests.commissions.sourcing.conftest import a_stone, measured

pytestmark = pytest.mark.django_db

MONDAY = datetime.date(2026, 12, 7)


def at(day, hour=9):
    return clock.standing_at(datetime.datetime(day.year, day.month, day.day, hour, tzinfo=datetime.UTC))


def on_approval(commission, owner, **changes):
    facts = {
        "owner": "supplier",
        "price_minor": 310000,
        "currency": "GBP",
        "return_by": MONDAY,
        "slip": "HS-1",
    }
    return a_stone(commission, owner, **{**facts, **changes})


def page(stone):
    return f"/studio/stones/{stone.pk}/approval/"


def reminder(stone):
    return Question.objects.filter(key=f"stones.memo:{stone.pk}", answered_at=None).first()


@pytest.mark.parametrize(
    ("today", "days"),
    [
        ((2026, 11, 30), 5),  # Monday to Monday: a working week
        ((2026, 12, 3), 2),
        ((2026, 12, 4), 1),
        ((2026, 12, 5), 1),  # Saturday
        ((2026, 12, 7), 0),
        ((2026, 12, 8), -1),
        ((2026, 12, 14), -5),
    ],
)
def test_working_days_that_are_left(today, days):
    assert working_days_left(today=datetime.date(*today), until=MONDAY) == days


def test_working_days_left_are_the_inverse_of_adding_them():
    start = datetime.date(2026, 11, 27)
    for days in range(25):
        until = clock.add_working_days(start, days)
        assert working_days_left(today=start, until=until) == days


def test_we_are_reminded_at_five_two_and_no_days_and_once_it_is_late(agreed, owner):
    stone = on_approval(agreed, owner)
    words = []
    for day in ((11, 27), (11, 30), (12, 1), (12, 3), (12, 4), (12, 7), (12, 8)):
        with at(datetime.date(2026, *day)):
            remind_of_returns()
            row = reminder(stone)
            words.append(row.words if row else None)
            assert remind_of_returns() == 0, "a second sweep writes nothing"
    assert words[0] is None
    assert "in 5 working days or less" in words[1] and words[1] == words[2]
    assert "in 2 working days or less" in words[3] and words[3] == words[4]
    assert "goes back today" in words[5]
    assert "had to go back" in words[6]
    assert Question.objects.filter(key=f"stones.memo:{stone.pk}").count() == 1
    assert reminder(stone).due_on == MONDAY and reminder(stone).blocking is False


def test_the_sweep_asks_as_often_for_thirty_as_for_one(agreed, owner):
    counts = []
    with at(datetime.date(2026, 12, 4)):
        for batch in (1, 29):
            for number in range(batch):
                on_approval(agreed, owner, report_number=f"{batch}-{number}")
            remind_of_returns()
            with CaptureQueriesContext(connection) as seen:
                assert remind_of_returns() == 0
            counts.append(len(seen))
    assert counts[0] == counts[1]


def test_longer_takes_the_reminder_down_and_is_written(studio, agreed, owner):
    stone = on_approval(agreed, owner)
    with at(datetime.date(2026, 12, 4)):
        remind_of_returns()
        answer = studio.post(
            page(stone), {"act": "extend", "extend-until": "1 12 2026", "extend-reason": "Letter"}
        )
        assert answer.status_code == 422 and reminder(stone)
        assert 'value="1 12 2026"' in answer.content.decode()
        studio.post(
            page(stone), {"act": "extend", "extend-until": "21 12 2026", "extend-reason": "Letter of 4 Dec"}
        )
        assert reminder(stone) is None
    assert [row.kind for row in ApprovalEvent.objects.all()] == ["taken", "extended"]
    assert "Letter of 4 Dec" in studio.get(page(stone)).content.decode()


def test_a_stone_is_bought_with_its_invoice(studio, agreed, owner):
    stone = on_approval(agreed, owner)
    assert studio.post(page(stone), {"act": "buy", "buy-words": " "}).status_code == 422
    studio.post(page(stone), {"act": "buy", "buy-words": "Invoice 77 of 4 Dec"})
    stone.refresh_from_db()
    assert (stone.owner, stone.state) == (Owner.US, StoneState.CANDIDATE)
    assert list(queries.memo()) == []
    with pytest.raises(Refused):
        actions.buy_stone(stone=stone, words="again", person=owner)


def test_a_stone_is_weighed_and_read_before_it_goes_back(studio, agreed, owner):
    stone = on_approval(agreed, owner)
    measured(stone, owner)
    wrong = {"act": "return", "return-inscription": "LR 1", "return-weight": "1.050"}
    assert "may be another stone" in studio.post(page(stone), wrong).content.decode()
    light = {**wrong, "return-inscription": "LR 5507-1182", "return-weight": "1.041"}
    assert "look for a chip" in studio.post(page(stone), light).content.decode()
    right = {**light, "return-weight": "1,050", "return-seal": "S-9"}
    assert studio.post(page(stone), right).status_code == 302
    stone.refresh_from_db()
    assert (stone.state, stone.holder) == (StoneState.RETURNED, "")
    assert "S-9" in ApprovalEvent.objects.get(kind="returned").words


def test_an_event_is_never_changed(agreed, owner):
    on_approval(agreed, owner)
    with pytest.raises(DatabaseError), transaction.atomic():
        ApprovalEvent.objects.update(words="other")
    with pytest.raises(DatabaseError), transaction.atomic():
        ApprovalEvent.objects.all().delete()


def test_what_was_on_paper_alone_is_taken_off_the_list(studio, agreed, owner):
    paper = a_stone(agreed, owner)
    studio.post(f"/studio/stones/{paper.pk}/drop/")
    paper.refresh_from_db()
    assert paper.state == StoneState.RETURNED
    here = a_stone(agreed, owner)
    measured(here, owner)
    with pytest.raises(Refused):
        actions.drop_candidate(stone=here, person=owner)


def test_a_broken_stone_is_told_at_once(studio, stone, owner):
    measured(stone, owner)
    path = f"/studio/stones/{stone.pk}/write-off/"
    studio.post(path, {"kind": "broken", "reason": ""})
    stone.refresh_from_db()
    assert stone.state == StoneState.CHECKED_IN
    studio.post(path, {"kind": "broken", "reason": "The feather ran when claw 2 was closed"})
    stone.refresh_from_db()
    assert stone.state == StoneState.BROKEN
    assert Question.objects.get(key=f"stones.gone:{stone.pk}", answered_at=None).due_on == clock.today()
    with pytest.raises(Refused):
        actions.write_off(stone=stone, kind="lost", reason="again", person=owner)


def test_the_stone_goes_to_the_setter_and_into_its_ring(stone, owner, setter):
    measured(stone, owner)
    assert queries.held_by()[0]["holder"] == "The safe"
    assert actions.issue_chosen(commission=stone.commission, person=setter)
    assert queries.held_by()[0]["holder"] == setter.full_name
    assert not actions.issue_chosen(commission=stone.commission, person=owner), "it is given once"
    actions.set_chosen(commission=stone.commission, person=setter)
    stone.refresh_from_db()
    assert (stone.state, stone.holder) == (StoneState.SET, f"In its ring {stone.commission.reference}")
    assert [row.reason for row in stone.custody.all()] == ["checked in", "issued for setting", "set"]


@pytest.mark.parametrize("path", ["/studio/stones/", "/studio/stones/held/"])
def test_the_lists_ask_as_often_for_thirty_as_for_one(studio, agreed, owner, path):
    counts = []
    for batch in (1, 29):
        for number in range(batch):
            row = on_approval(agreed, owner, report_number=f"{batch}-{number}")
            Stone.objects.filter(pk=row.pk).update(holder=f"Holder {number}")
        studio.get(path)
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(path).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]


@pytest.mark.parametrize("part", ["approval/", "check-in/", "plot/", "condition/"])
def test_the_pages_of_one_stone_ask_as_often_for_thirty_rows_as_for_one(studio, stone, owner, part):
    from tests.commissions.sourcing.test_conditions import WORDS
    from tests.commissions.sourcing.test_turning import a_mark

    path = f"/studio/stones/{stone.pk}/{part}"
    counts = []
    for batch in (1, 29):
        for number in range(batch):
            measured(stone, owner)
            a_mark(stone, owner, position=f"{number % 12 or 12}")
            actions.send_condition(stone=stone, person=owner, **WORDS)
            ApprovalEvent.objects.create(
                stone=stone, kind="extended", until=MONDAY, by_words="O", at=clock.now()
            )
        studio.get(path)
        with CaptureQueriesContext(connection) as seen:
            assert studio.get(path).status_code == 200
        counts.append(len(seen))
    assert counts[0] == counts[1]
