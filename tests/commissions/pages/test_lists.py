"""Today and Commissions: the right rows in the right order, and no more queries for thirty than for one."""

import datetime

import pytest
from django.urls import reverse

from commissions.pages.many import seed
from commissions.pages.studio import queries
from commissions.record import actions
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def counted(client, owner, django_assert_num_queries, django_assert_max_num_queries):
    """Number of queries of one page for the signed-in owner."""
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.force_login(owner)

    def count(path: str) -> int:
        client.get(path)
        with CaptureQueriesContext(connection) as caught:
            assert client.get(path).status_code == 200
        return len(caught)

    return count


@pytest.mark.parametrize("name", ["pages:today", "pages:commissions"])
def test_a_list_asks_as_many_questions_for_thirty_rows_as_for_one(counted, name):
    seed(count=1, clients=1)
    one = counted(reverse(name))
    seed(count=30, clients=20)
    assert counted(reverse(name)) == one
    assert one <= 14


def test_every_commission_is_met_once_on_the_way_through_the_pages(db):
    seed(count=130, clients=7)
    met, after = [], ""
    while True:
        rows, after = queries.commissions_page(after=after)
        met += [row.reference for row in rows]
        if not after:
            break
    assert len(met) == 130
    assert len(set(met)) == 130
    order = list(
        Commission.objects.order_by("needed_sort", "turn_rank", "id").values_list("reference", flat=True)
    )
    assert met == order


def test_a_cursor_somebody_has_played_with_begins_at_the_beginning(client, owner):
    seed(count=3, clients=1)
    client.force_login(owner)
    for after in ("x", "1.2.3", "20260101.0.", "99999999.9.9", "'; drop table"):
        page = client.get(reverse("pages:commissions"), {"after": after})
        assert page.status_code == 200


def test_today_says_whose_turn_it_is_and_what_is_late(client, owner, commission):
    client.force_login(owner)
    assert "One thing waits for us" in client.get("/studio/").content.decode()
    actions.open_question(
        commission=commission,
        key="design.send",
        addressee=Turn.CLIENT,
        words="Answer revision A",
        due_on=datetime.date(2020, 1, 1),
    )
    page = client.get("/studio/").content.decode()
    assert "Nothing waits for us" in page
    assert "Answer revision A" in page


def test_a_matter_that_is_passed_on_waits_anew(commission):
    from studio import clock

    with clock.standing_at(datetime.datetime(2026, 1, 2, 9, tzinfo=datetime.UTC)):
        actions.open_question(commission=commission, key="m", addressee=Turn.US, words="ours")
    with clock.standing_at(datetime.datetime(2026, 3, 2, 9, tzinfo=datetime.UTC)):
        question = actions.open_question(
            commission=commission, key="m", addressee=Turn.CLIENT, words="theirs"
        )
    question.refresh_from_db()
    assert question.opened_at.month == 3


def test_a_stranger_is_sent_to_sign_in_and_a_setter_sees_no_money(client, setter, commission):
    assert client.get("/studio/").status_code == 302
    client.force_login(setter)
    assert client.get("/studio/").status_code == 200
    page = client.get(f"/studio/commissions/{commission.reference}/")
    assert page.status_code == 200
    assert "Withdraw this commission" not in page.content.decode()
    assert client.get(f"/studio/commissions/{commission.reference}/withdraw/").status_code == 403


def test_a_commission_that_is_not_there_is_not_found(client, owner):
    client.force_login(owner)
    assert client.get("/studio/commissions/ZZZ-ZZZ/").status_code == 404


def test_a_hold_is_placed_shown_and_lifted(client, owner, commission):
    client.force_login(owner)
    address = reverse("pages:hold", args=[commission.reference])
    refused = client.post(address, {"reason": ""})
    assert refused.status_code == 422
    client.post(address, {"reason": "The stone is at the laboratory"})
    assert "The stone is at the laboratory" in client.get("/studio/").content.decode()
    client.post(address, {"lift": "1"})
    commission.refresh_from_db()
    assert commission.turn == Turn.US


def test_a_promise_that_has_passed_is_refused_and_what_was_typed_stays(client, owner, commission):
    client.force_login(owner)
    address = reverse("pages:promise", args=[commission.reference])
    page = client.post(address, {"on": "1 2 2020", "reason": "because"})
    assert "This date has passed." in page.content.decode()
    assert "because" in page.content.decode()
    client.post(address, {"on": "24 September 2030", "reason": "the caster is away"})
    commission.refresh_from_db()
    assert commission.promised_on == datetime.date(2030, 9, 24)


def test_withdrawing_ends_it_once_and_closes_every_question(client, owner, commission):
    client.force_login(owner)
    address = reverse("pages:withdraw", args=[commission.reference])
    client.post(address, {"reason": "the client has changed their mind"})
    commission.refresh_from_db()
    assert commission.state == "withdrawn"
    assert not commission.questions.filter(answered_at__isnull=True).exists()
    again = client.post(address, {"reason": "again"})
    assert again.status_code == 200
    assert Commission.objects.get().stage == Stage.DESIGN


def test_our_answer_closes_the_client_s_question(client, owner, commission):
    client.force_login(owner)
    actions.post_message(commission=commission, body="How is it?", from_client=True)
    client.post(reverse("pages:messages", args=[commission.reference]), {"body": "It is being cast."})
    assert commission.messages.count() == 2
    assert not commission.questions.filter(key="message", answered_at__isnull=True).exists()
