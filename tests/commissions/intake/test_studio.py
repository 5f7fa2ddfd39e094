"""The studio reads a brief, opens a commission from it, or declines it kindly."""

from __future__ import annotations

import re

import pytest
from django.test import Client as Browser

from commissions.intake import actions, queries
from commissions.intake.errors import BriefClosed
from commissions.intake.models import Brief, Client, State
from commissions.record.models import Commission
from commissions.record.opening import open_from_brief, proposal
from studio import clock
from studio.outbox.models import Letter
from studio.people.models import ClientAccess
from studio.pictures.tasks import render_waiting
from tests.commissions.intake.answers import EMAIL, fill_in, jpeg


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def brief(db, monkeypatch):
    """A brief that was sent: a surprise, with one picture."""
    return sent(monkeypatch)


def sent(monkeypatch, **changed) -> Brief:
    """Send a brief, its address taken as proven."""
    monkeypatch.setattr("commissions.intake.actions.sending.LEAST_SECONDS", 0)
    writer = Browser()
    fill_in(writer, leave_out=("pictures",), **changed)
    writer.post("/brief/pictures/", {"files": [jpeg()], "add": "1"})
    draft = Brief.objects.order_by("-id").first()
    picture = draft.pictures.get()
    writer.post(
        "/brief/pictures/", {f"p{picture.pk}-liked": "The low setting", f"p{picture.pk}-not_this": ""}
    )
    Brief.objects.filter(pk=draft.pk).update(email_proven_at=clock.now())
    return actions.send(brief=draft)


@pytest.fixture
def signed_in(owner):
    device = Browser()
    device.force_login(owner)
    return device


def test_only_owner_and_jeweller_read_briefs(brief, owner, jeweller, setter):
    for person, status in ((owner, 200), (jeweller, 200), (setter, 403)):
        device = Browser()
        device.force_login(person)
        for path in ("/studio/briefs/", f"/studio/briefs/{brief.reference}/"):
            assert device.get(path).status_code == status, (person, path)
    assert Browser().get("/studio/briefs/").status_code == 302


def test_a_brief_is_read_with_all_its_answers_and_its_warning(brief, signed_in):
    page = signed_in.get(f"/studio/briefs/{brief.reference}/").content.decode()
    for words in ("Surprise: do not phone", "Runa Fjelltoft", "Under the lighthouse.", "No nickel", "The low setting",
                  "It must not catch on wool.", "Norway", "stand as they were sent"):  # fmt: skip
        assert words in page, words


def test_a_draft_is_nobodys_business(client, db, signed_in):
    fill_in(client)
    reference = Brief.objects.get().reference
    assert signed_in.get(f"/studio/briefs/{reference}/").status_code == 404
    assert reference not in signed_in.get("/studio/briefs/").content.decode()


def test_its_pictures_are_for_the_studio(brief, signed_in, setter):
    render_waiting()
    pk = brief.pictures.get().pk
    path = f"/studio/briefs/{brief.reference}/pictures/{pk}/320/"
    assert signed_in.get(path).status_code == 200
    assert Browser().get(path).status_code == 302
    other = Browser()
    other.force_login(setter)
    assert other.get(path).status_code == 403


def test_it_stands_on_today_until_it_is_answered(brief, signed_in, owner):
    assert "Answer the brief" in signed_in.get("/studio/").content.decode()
    actions.decline(brief=brief, words="We cannot, and say why.", by=owner)
    assert "Answer the brief" not in signed_in.get("/studio/").content.decode()
    assert not queries.waiting_briefs().exists()


def test_a_commission_is_proposed_from_the_answers_and_opened(brief, signed_in):
    page = signed_in.get(f"/studio/briefs/{brief.reference}/open/").content.decode()
    assert 'value="Round in a halo"' in page and 'value="2031"' in page
    answer = signed_in.post(f"/studio/briefs/{brief.reference}/open/", {
        "title": "Round in a halo", "currency": "GBP", "needed_by_day": "19", "needed_by_month": "12",
        "needed_by_year": "2031", "discreet": "on",
    })  # fmt: skip
    commission = Commission.objects.get()
    assert answer.headers["Location"] == f"/studio/commissions/{brief.reference}/"
    assert commission.reference == brief.reference
    assert commission.discreet and commission.stage == "design" and commission.turn == "us"
    assert commission.client.full_name == "Runa Fjelltoft" and commission.client.access.email == EMAIL
    assert commission.moves.get().evidence["digest"] == brief.digest
    brief.refresh_from_db()
    assert brief.state == State.ANSWERED
    assert queries.stands_as_sent(brief=brief)


def test_a_brief_becomes_one_commission_only(brief, owner):
    asked = proposal(brief=brief)
    open_from_brief(brief=brief, person=owner, **asked)
    with pytest.raises(BriefClosed):
        open_from_brief(brief=brief, person=owner, **asked)
    assert Commission.objects.count() == 1


def test_a_client_who_comes_again_is_found(brief, owner, monkeypatch):
    open_from_brief(brief=brief, person=owner, **proposal(brief=brief))
    second = sent(monkeypatch, stone={"intent": "own"}, look={"shapes": ["oval", "pear"]})
    assert proposal(brief=second)["title"] == "The client’s own oval or pear in a halo"
    open_from_brief(brief=second, person=owner, **proposal(brief=second))
    assert Client.objects.count() == ClientAccess.objects.count() == 1
    assert Commission.objects.count() == 2


def test_a_no_is_a_letter_and_stands_on_the_clients_page(brief, signed_in):
    path = f"/studio/briefs/{brief.reference}/decline/"
    assert "Write a few words" in signed_in.post(path, {"words": ""}).content.decode()
    signed_in.post(path, {"words": "We do not make what would hurt you later."})
    letter = Letter.objects.get(kind="brief-declined")
    # It is a surprise: the letter is neutral, the words wait on the page.
    assert letter.discreet and "hurt you" not in letter.text
    assert not re.search(r"\bring\b|stone|brief", (letter.subject + letter.text).lower())
    brief.refresh_from_db()
    assert brief.state == State.DECLINED and brief.reply.startswith("We do not make")
    with pytest.raises(BriefClosed):
        actions.decline(brief=brief, words="Again", by="somebody")


def test_only_the_owner_declines(brief, jeweller):
    device = Browser()
    device.force_login(jeweller)
    assert device.get(f"/studio/briefs/{brief.reference}/decline/").status_code == 403


@pytest.mark.parametrize("path", ["/studio/briefs/"])
def test_the_list_asks_as_much_with_one_brief_as_with_thirty(
    brief, signed_in, path, django_assert_max_num_queries
):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    signed_in.get(path)  # the first page of a session also enters the device
    with CaptureQueriesContext(connection) as one:
        signed_in.get(path)
    for number in range(30):
        Brief.objects.create(
            reference=f"T{number:02}-AAA", token_hash=f"{number:064}", state=State.SENT if number % 2 else State.ANSWERED,
            schema=1, answers=brief.answers, language="en-gb", began_at=clock.now(), touched_at=clock.now(),
            sent_at=clock.now(), reply_due_on=clock.today(), email=EMAIL, closed_by="Ottoline",
        )  # fmt: skip
    with CaptureQueriesContext(connection) as many:
        signed_in.get(path)
    assert len(many) == len(one)


def test_one_brief_asks_as_much_with_one_picture_as_with_twelve(brief, signed_in):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    from commissions.intake.models import BriefPicture
    from studio.pictures.actions import receive

    path = f"/studio/briefs/{brief.reference}/"
    signed_in.get(path)  # the first page of a session also enters the device
    with CaptureQueriesContext(connection) as one:
        signed_in.get(path)
    for _picture in range(5):
        BriefPicture.objects.create(
            brief=brief, picture=receive(upload=jpeg(), kind="brief", person_words="x"), added_at=clock.now()
        )
    with CaptureQueriesContext(connection) as many:
        signed_in.get(path)
    assert len(many) == len(one)
