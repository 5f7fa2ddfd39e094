"""A brief is kept, and taken up on another device by whoever reads the letters of its address."""

from __future__ import annotations

from django.test import Client as Browser

from commissions.intake.models import Brief
from tests.commissions.intake.answers import fill_in
from tests.post import code_in, letters_to, link_in

EMAIL = "runa@client.example"


def kept(browser):
    """A browser whose draft is kept under the address."""
    fill_in(browser, leave_out=("hand", "size", "name", "email"))
    page = browser.post("/brief/keep/", {"email": EMAIL}).content.decode()
    assert "Saved" in page
    return browser


def test_the_letter_about_a_kept_brief_carries_no_key(client, db):
    kept(client)
    letter = letters_to(EMAIL)[0]
    assert letter.kind == "brief-kept"
    assert "/brief/back/" in letter.text
    assert Brief.objects.get().token_hash not in letter.text
    assert letter.discreet  # it was said to be a surprise


def test_another_device_goes_on_by_a_code_and_the_first_one_lets_go(client, db):
    kept(client)
    phone = Browser()
    phone.post("/brief/back/", {"email": EMAIL})
    assert phone.post("/brief/back/code/", {"code": code_in(letters_to(EMAIL)[-1])}).status_code == 302
    page = phone.get("/brief/").content.decode()
    assert "Your brief so far" in page
    assert "Low and soft." in phone.get("/brief/look/").content.decode()
    assert "Before you begin" in client.get("/brief/").content.decode()
    assert Brief.objects.get().email_proven_at  # no second code is needed to send it


def test_the_link_takes_up_by_its_button_alone(client, db):
    kept(client)
    phone = Browser()
    phone.post("/brief/back/", {"email": EMAIL})
    path = link_in(letters_to(EMAIL)[-1])
    phone.get(path)
    assert "Before you begin" in phone.get("/brief/").content.decode()
    assert phone.post(path).status_code == 302
    assert "Your brief so far" in phone.get("/brief/").content.decode()
    assert Browser().post(path).status_code == 410


def test_a_code_for_one_door_opens_no_other(client, db, joachim):
    kept(client)
    Brief.objects.update(email=joachim.access.email)
    phone = Browser()
    phone.post("/brief/back/", {"email": joachim.access.email})
    letter = letters_to(joachim.access.email)[-1]
    assert phone.post("/in/code/", {"code": code_in(letter)}).status_code == 200
    assert phone.post(link_in(letter).replace("/brief/back/", "/in/")).status_code == 410
    assert phone.get("/yours/").status_code == 302


def test_asking_says_the_same_whether_a_brief_is_kept_or_not(client, db):
    kept(client)
    places = []
    for email in (EMAIL, "nobody@client.example"):
        places.append(Browser().post("/brief/back/", {"email": email}).headers["Location"])
    assert places[0] == places[1]
    assert letters_to("nobody@client.example") == []


def test_a_brief_can_be_thrown_away(client, db):
    kept(client)
    client.post("/brief/forget/")
    assert Brief.objects.count() == 0


def test_a_stranger_has_no_draft(client, db):
    kept(client)
    stranger = Browser()
    assert stranger.get("/brief/check/").headers["Location"] == "/brief/"
    assert stranger.post("/brief/send/").headers["Location"] == "/brief/"
