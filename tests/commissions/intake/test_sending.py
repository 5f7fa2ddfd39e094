"""Sending a brief: the address is proven, the answers freeze, the client is told what happens next."""

from __future__ import annotations

import datetime
import re

import pytest
from django.test import Client as Browser

from commissions.intake import actions, queries
from commissions.intake.errors import BriefClosed
from commissions.intake.models import Brief, State
from studio import clock
from studio.outbox.models import Letter
from tests.commissions.intake.answers import EMAIL, fill_in
from tests.post import code_in, letters_to, link_in


@pytest.fixture
def unhurried(monkeypatch):
    """The brief took as long as it takes a person."""
    monkeypatch.setattr("commissions.intake.actions.sending.LEAST_SECONDS", 0)


@pytest.fixture
def filled(client, db, unhurried):
    """A browser with every answer given."""
    fill_in(client)
    return client


@pytest.fixture
def sent(filled):
    """A browser that has sent its brief."""
    filled.post("/brief/send/")
    answer = filled.post("/brief/send/code/", {"code": code_in(letters_to(EMAIL)[-1])})
    assert answer.status_code == 302, answer.content.decode()
    return filled


def test_the_check_page_shows_every_answer_with_its_own_way_to_change_it(filled):
    page = filled.get("/brief/check/").content.decode()
    for words in (
        "An engagement",
        "19 December 2031",
        "6,000.00 to GBP",
        "Nothing spiky.",
        "52.5 mm round",
    ):
        assert words in page, words
    assert page.count(">Change<") == 16


def test_a_brief_with_a_gap_is_not_sent_and_the_gap_is_named(client, db, unhurried):
    fill_in(client, leave_out=("allergy", "size"))
    page = client.post("/brief/send/").content.decode()
    assert "It is not sent yet" in page
    assert 'href="/brief/allergy/?check"' in page and 'href="/brief/size/?check"' in page
    assert Brief.objects.get().state == State.DRAFT


def test_the_address_is_proven_before_anything_is_sent(filled):
    assert filled.post("/brief/send/").headers["Location"] == "/brief/send/code/"
    assert Brief.objects.get().state == State.DRAFT
    assert filled.post("/brief/send/code/", {"code": "1234 0000"}).status_code == 200
    assert Brief.objects.get().state == State.DRAFT


def test_the_confirmation_says_reference_next_act_and_day(sent):
    brief = Brief.objects.get()
    page = sent.get(f"/brief/sent/{brief.reference}/").content.decode()
    assert re.fullmatch(r"[2-9A-HJKMNP-TV-Z]{3}-[2-9A-HJKMNP-TV-Z]{3}", brief.reference)
    assert brief.reference in page
    assert brief.reply_due_on == clock.add_working_days(clock.working_day(clock.today()), 2)
    assert f"{brief.reply_due_on:%A} {brief.reply_due_on.day} {brief.reply_due_on:%B}" in page


def test_the_link_of_the_letter_sends_from_another_device_too(filled):
    filled.post("/brief/send/")
    phone, path = Browser(), link_in(letters_to(EMAIL)[-1])
    assert phone.get(path).status_code == 200
    assert Brief.objects.get().state == State.DRAFT  # looking sends nothing
    answer = phone.post(path)
    assert answer.headers["Location"] == f"/brief/sent/{Brief.objects.get().reference}/"
    assert Browser().post(path).status_code == 410


def test_a_machine_is_too_quick(client, db):
    fill_in(client)
    client.post("/brief/send/")
    page = client.post("/brief/send/code/", {"code": code_in(letters_to(EMAIL)[-1])}).content.decode()
    assert "That was very quick" in page
    assert Brief.objects.get().state == State.DRAFT


def test_what_was_sent_can_no_longer_be_changed(sent):
    before = Brief.objects.get()
    assert queries.stands_as_sent(brief=before)
    sent.post("/brief/stone/", {"intent": "natural"})  # begins a new draft, and leaves the old brief alone
    after = Brief.objects.get(pk=before.pk)
    assert after.answers == before.answers
    for act in (
        lambda: actions.answer(brief=before, slug="stone", given={"intent": "natural", "more": ""}),
        lambda: actions.describe_picture(brief=before, pk=1, liked="x", not_this=""),
        lambda: actions.remove_picture(brief=before, pk=1),
        lambda: actions.forget_draft(brief=before),
        lambda: actions.keep_for(brief=before, email="other@client.example"),
        lambda: actions.send(brief=before),
    ):
        with pytest.raises(BriefClosed):
            act()
    assert queries.stands_as_sent(brief=Brief.objects.get(pk=before.pk))


def test_a_brief_changed_behind_our_back_is_noticed(sent):
    brief = Brief.objects.get()
    Brief.objects.update(answers={**brief.answers, "stone": {"intent": "natural", "more": ""}})
    assert not queries.stands_as_sent(brief=Brief.objects.get())


def test_sending_twice_sends_once(filled):
    filled.post("/brief/send/")
    brief = Brief.objects.get()
    Brief.objects.update(email_proven_at=clock.now())
    actions.send(brief=brief)
    with pytest.raises(BriefClosed):
        actions.send(brief=brief)
    assert Letter.objects.filter(kind="brief-received").count() == 1


def test_the_copy_of_a_surprise_gives_nothing_away(sent):
    letter = Letter.objects.get(kind="brief-received")
    assert letter.discreet and letter.state == "waiting" and letter.pictures == []
    words = (letter.subject + letter.text + letter.html + letter.sender_name).lower()
    assert not re.search(r"\bring\b|stone|gold|halo|engage|wedding|6,000|jewel|brief", words)
    assert Brief.objects.get().reference in letter.text


def test_the_copy_of_what_is_no_surprise_has_the_answers_but_no_sum(client, db, unhurried):
    fill_in(client, surprise={"surprise": "no"})
    client.post("/brief/send/")
    client.post("/brief/send/code/", {"code": code_in(letters_to(EMAIL)[-1])})
    letter = Letter.objects.get(kind="brief-received")
    for body in (letter.text, letter.html):
        assert "Nothing spiky." in body and "52.5 mm round" in body
        assert "6,000" not in body


def test_only_its_sender_can_open_the_confirmation_again(sent, joachim):
    reference = Brief.objects.get().reference
    assert Browser().get(f"/brief/sent/{reference}/").status_code == 404
    assert Browser().get("/brief/sent/AAA-AAA/").status_code == 404
    other = Browser()
    other.post("/in/", {"email": joachim.access.email})
    other.post("/in/code/", {"code": code_in(letters_to(joachim.access.email)[-1])})
    assert other.get(f"/brief/sent/{reference}/").status_code == 404
    again = Browser()
    again.post("/in/", {"email": EMAIL})
    again.post("/in/code/", {"code": code_in(letters_to(EMAIL)[-1])})
    assert again.get(f"/brief/sent/{reference}/").status_code == 200
    assert reference in again.get("/yours/").content.decode()


def test_drafts_run_out_and_are_removed(client, db, monkeypatch):
    fill_in(client)
    now = clock.now()
    monkeypatch.setattr(clock, "now", lambda: now + datetime.timedelta(days=31))
    assert "Before you begin" in client.get("/brief/").content.decode()
    assert actions.remove_old() == 1
    assert Brief.objects.count() == 0


def test_sent_briefs_do_not_run_out_as_drafts_do(sent, monkeypatch):
    now = clock.now()
    monkeypatch.setattr(clock, "now", lambda: now + datetime.timedelta(days=364))
    assert actions.remove_old() == 0
    # One that nobody has answered for a year is not kept for ever.
    monkeypatch.setattr(clock, "now", lambda: now + datetime.timedelta(days=366))
    assert actions.remove_old() == 1
