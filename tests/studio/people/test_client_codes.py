"""A client's way in: looking opens nothing, and nobody learns who is a client."""

from __future__ import annotations

import datetime
import logging
import re
import statistics
import time

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from studio import clock
from studio.logs import MaskTokens
from studio.people.actions import codes
from studio.people.models import ClientSession, OneTimeCode
from tests.post import code_in, letters_to, link_in


def ask(browser, email):
    return browser.post("/in/", {"email": email})


def later(monkeypatch, **ago):
    now = clock.now()
    monkeypatch.setattr(clock, "now", lambda: now + datetime.timedelta(**ago))


@pytest.fixture
def letter(client, joachim):
    """The letter with a code that Joachim's browser has asked for."""
    assert ask(client, joachim.access.email).headers["Location"] == "/in/code/"
    return letters_to(joachim.access.email)[-1]


def test_a_link_that_is_fetched_is_not_used_up(client, letter, joachim):
    for _time in range(2):
        answer = Browser().get(link_in(letter))  # a mail scanner, a link preview
        assert answer.status_code == 200
    assert OneTimeCode.objects.get().used_at is None
    answer = client.post(link_in(letter))
    assert answer.status_code == 302
    assert client.get("/in/devices/").status_code == 200


def test_a_link_opens_once(client, letter):
    assert client.post(link_in(letter)).status_code == 302
    other = Browser()
    assert other.post(link_in(letter)).status_code == 410
    assert other.get("/in/devices/").status_code == 302


def test_a_link_lives_ten_minutes(client, letter, monkeypatch):
    later(monkeypatch, minutes=11)
    assert client.post(link_in(letter)).status_code == 410
    assert ClientSession.objects.count() == 0


def test_a_newer_code_ends_the_older_one(client, letter, joachim):
    ask(client, joachim.access.email)
    newer = letters_to(joachim.access.email)[-1]
    assert newer.pk != letter.pk
    assert Browser().post(link_in(letter)).status_code == 410
    assert client.post("/in/code/", {"code": code_in(letter)}).status_code == 200
    assert client.post("/in/code/", {"code": code_in(newer)}).status_code == 302


def test_the_house_keeps_only_hashes(client, letter):
    token, short = link_in(letter).strip("/").split("/")[-1], code_in(letter).replace(" ", "")
    assert len(token) >= 22  # 128 bits in base64
    row = OneTimeCode.objects.values().get()
    assert token not in str(row) and short not in str(row)
    assert not letter.keep_words  # the words of the letter go, too, once it is sent


def test_the_short_code_works_with_and_without_its_space(client, letter):
    assert client.post("/in/code/", {"code": code_in(letter).replace(" ", "")}).status_code == 302


def test_the_short_code_is_bound_to_the_browser_that_asked(client, letter, delphine):
    stranger = Browser()
    ask(stranger, "nobody@client.example")
    assert stranger.post("/in/code/", {"code": code_in(letter)}).status_code == 200
    assert stranger.get("/in/devices/").status_code == 302


def test_five_tries_and_no_more(client, letter):
    wrong = "1111 1111" if code_in(letter) != "1111 1111" else "2222 2222"
    for _try in range(5):
        assert client.post("/in/code/", {"code": wrong}).status_code == 200
    assert client.post("/in/code/", {"code": code_in(letter)}).status_code == 200
    assert client.get("/in/devices/").status_code == 302


def test_known_and_unknown_addresses_get_the_same_answer(joachim, db):
    answers = []
    for email in (joachim.access.email, "nobody@client.example"):
        browser = Browser()
        first = ask(browser, email)
        page = browser.get("/in/code/").content.decode().replace(email, "ADDRESS")
        wrong = browser.post("/in/code/", {"code": "0000 0000"}).content.decode()
        answers.append((first.status_code, first.headers["Location"], *map(without_tokens, (page, wrong))))
    assert answers[0][:3] == answers[1][:3]
    assert answers[0][3].replace(joachim.access.email, "X") == answers[1][3].replace(
        "nobody@client.example", "X"
    )
    assert letters_to("nobody@client.example") == []


def without_tokens(page: str) -> str:
    """A page without what differs from one request to the next anyway."""
    return re.sub(r"[A-Za-z0-9]{64}", "", page)


def test_asking_does_the_same_work_for_every_address(joachim):
    addresses = (joachim.access.email, "nobody@client.example")
    statements = []
    for email in addresses:
        with CaptureQueriesContext(connection) as seen:
            codes.ask_code(door="client", email=email, browser="b")
        statements.append([query["sql"].split()[:3] for query in seen if "SAVEPOINT" not in query["sql"]])
    assert statements[0] == statements[1]
    times = {email: [] for email in addresses}
    for _round in range(60):
        for email, taken in times.items():
            start = time.perf_counter()
            codes.ask_code(door="client", email=email, browser="b")
            taken.append(time.perf_counter() - start)
    known, unknown = (statistics.median(taken) for taken in times.values())
    assert abs(known - unknown) < max(known, unknown) * 0.5


def test_asking_is_slowed_down(joachim, db):
    browser = Browser()
    answers = [ask(browser, joachim.access.email).status_code for _time in range(8)]
    assert answers[:6] == [302] * 6
    assert answers[6:] == [200, 200]
    assert OneTimeCode.objects.count() == 6


def test_a_client_comes_in_under_a_new_key_at_a_clean_address(client, letter):
    before = client.session.session_key
    answer = client.post(link_in(letter))
    token = link_in(letter).strip("/").split("/")[-1]
    assert token not in answer.headers["Location"]
    assert client.session.session_key != before
    assert answer.headers["Referrer-Policy"] in ("same-origin", "no-referrer")
    assert answer.headers["Cache-Control"] == "no-store"


def test_the_page_asked_for_is_the_page_opened(client, joachim):
    answer = client.get("/in/passphrase/?next=/yours/")
    assert answer.status_code == 302
    client.get(answer.headers["Location"])
    ask(client, joachim.access.email)
    answer = client.post("/in/code/", {"code": code_in(letters_to(joachim.access.email)[-1])})
    assert answer.headers["Location"] == "/in/passphrase/"  # the first visit chooses a passphrase


def test_no_page_outside_the_house_is_opened(client, joachim):
    client.get("/in/?next=https://elsewhere.example/")
    assert client.session["client_next"] == "/yours/"


def test_a_preview_shows_nothing(client, letter):
    page = Browser(headers={"User-Agent": "PreviewBot"}).get(link_in(letter)).content.decode()
    assert "og:" not in page and "<img" not in page and "Joachim" not in page
    assert "ring" not in re.search(r"<title>(.*?)</title>", page).group(1).lower()


def test_a_forged_host_is_not_put_into_a_letter(client, joachim, settings):
    settings.ALLOWED_HOSTS = ["*"]
    client.post("/in/", {"email": joachim.access.email}, headers={"Host": "evil.example"})
    letter = letters_to(joachim.access.email)[-1]
    assert "evil.example" not in letter.text + letter.html
    assert settings.ORIGIN in letter.text


def test_a_token_in_a_log_line_is_masked(letter):
    path = link_in(letter)
    record = logging.LogRecord("django.request", logging.WARNING, "", 0, "Gone: %s", (path,), None)
    MaskTokens().filter(record)
    assert path.strip("/").split("/")[-1] not in record.getMessage()


def test_a_discreet_client_reads_neutral_words(client, joachim):
    type(joachim.access).objects.filter(pk=joachim.access.pk).update(discreet=True)
    ask(client, joachim.access.email)
    letter = letters_to(joachim.access.email)[-1]
    assert letter.discreet
    assert code_in(letter)
    assert letter.state == "waiting"
    assert not re.search(r"\bring\b|stone|jewel|gold", (letter.subject + letter.text).lower())
