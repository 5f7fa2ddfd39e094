"""A client's pages: their own ring, in their words, and nobody else's."""

from __future__ import annotations

import datetime
import io
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext
from PIL import Image

from commissions.bench.actions import photos
from commissions.bench.models import Photo
from commissions.record.actions import (
    answer_question,
    complete,
    open_commission,
    open_question,
    place_hold,
    post_message,
)
from commissions.record.models import Commission, Message, Question
from commissions.record.route import Stage, Turn
from studio.pictures.actions import receive, render
from tests.post import PHRASE, sign_in_client

PAGES = ["", "progress/", "messages/"]


@pytest.fixture
def device(joachim):
    """A device on which Joachim is signed in."""
    return sign_in_client(Browser(), joachim)


@pytest.fixture
def hers(delphine):
    """A device on which somebody else is signed in."""
    return sign_in_client(Browser(), delphine)


def released(commission, person, caption="All halo stones set", *, release=True) -> Photo:
    """A photograph of a commission, released to its client where asked."""
    file = io.BytesIO()
    Image.new("RGB", (400, 300), (180, 170, 150)).save(file, "JPEG")
    picture = receive(upload=SimpleUploadedFile("a.jpg", file.getvalue()), kind="bench", person_words="Mabli")
    render(pk=picture.pk)
    picture.refresh_from_db()
    photo = photos.add_photo(
        commission=commission, picture=picture, step=None, person=person, caption=caption,
        scale="shown 8 times its size",
    )  # fmt: skip
    if release:
        photos.release_photo(photo=photo, background_checked=True, person=person)
    return photo


def words_of(answer) -> str:
    """The words of a page, without its tags."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()))


def test_a_stranger_is_asked_for_a_code_whatever_they_ask_for(commission):
    for page in PAGES:
        real = Browser().get(f"/yours/{commission.reference}/{page}")
        none = Browser().get(f"/yours/AAA-AAA/{page}")
        assert real.status_code == none.status_code == 302
        assert (
            real.headers["Location"].partition("?")[0] == none.headers["Location"].partition("?")[0] == "/in/"
        )


def test_another_client_gets_the_answer_of_a_ring_that_does_not_exist(commission, owner, hers):
    photo = released(commission, owner)
    question = open_question(
        commission=commission, key="approve:halo", addressee=Turn.CLIENT, words="Approve"
    )
    paths = [*PAGES, f"progress/{photo.pk}/320/", f"answer/{question.pk}/"]
    for page in paths:
        theirs = hers.get(f"/yours/{commission.reference}/{page}")
        none = hers.get(f"/yours/AAA-AAA/{page}")
        assert theirs.status_code == none.status_code == 404, page
        assert theirs.content.replace(commission.reference.encode(), b"") == none.content.replace(
            b"AAA-AAA", b""
        )
    hers.post(f"/yours/{commission.reference}/messages/", {"body": "Let me in"})
    hers.post(f"/yours/{commission.reference}/answer/{question.pk}/", {"act": "ask", "words": "Let me in"})
    assert not Message.objects.exists()
    assert Question.objects.get(pk=question.pk).answered_at is None
    assert commission.reference not in hers.get("/yours/").content.decode()


def test_a_client_cannot_reach_a_photograph_through_their_own_ring(commission, owner, delphine, hers):
    photo = released(commission, owner)
    own = open_commission(client=delphine, title="Pear", currency="USD", person=owner)
    assert hers.get(f"/yours/{own.reference}/progress/{photo.pk}/320/").status_code == 404


def test_staff_are_not_clients(commission, owner):
    staff = Browser()
    staff.force_login(owner)
    assert staff.get(f"/yours/{commission.reference}/").status_code == 302


def test_a_client_with_one_ring_comes_straight_to_it(commission, device, owner, joachim):
    assert device.get("/yours/").headers["Location"] == f"/yours/{commission.reference}/"
    second = open_commission(client=joachim, title="Pear", currency="GBP", person=owner)
    page = device.get("/yours/").content.decode()
    assert second.reference in page and commission.reference in page


def test_the_page_says_whose_turn_it_is_and_by_when(commission, device):
    words = words_of(device.get(f"/yours/{commission.reference}/"))
    due = Commission.objects.get().next_due
    assert f"With us. We are drawing your ring: {due:%A} {due.day} {due:%B}" in words
    answer_question(commission=commission, key="design.send", by_words="Ottoline")
    open_question(
        commission=commission, key="size", addressee=Turn.CLIENT, words="Client confirms the size",
        client_words="Please confirm the size", client_path=f"/yours/{commission.reference}/messages/",
        due_on=datetime.date(2031, 3, 6),
    )  # fmt: skip
    answer = device.get(f"/yours/{commission.reference}/")
    assert "With you. Please confirm the size: Thursday 6 March" in words_of(answer)
    assert f'<a class="act wide" href="/yours/{commission.reference}/messages/">' in answer.content.decode()
    assert "Client confirms the size" not in words_of(answer)  # the studio's words are not the client's


def test_a_pause_is_told_with_the_reason_meant_for_the_client(commission, device, owner):
    place_hold(
        commission=commission, reason="She dithers", client_reason="We wait for your stone", person=owner
    )
    words = words_of(device.get(f"/yours/{commission.reference}/"))
    assert "On hold. We wait for your stone" in words and "dithers" not in words


def test_the_dial_is_told_in_words_and_the_stages_listed(commission, device):
    Commission.objects.update(stage=Stage.SETTING)
    page = device.get(f"/yours/{commission.reference}/").content.decode()
    assert 'aria-label="7 of 13 stages done; now: Setting"' in page
    assert len(re.findall(r'class="bead done"', page)) == 7
    assert page.count('<li class="done">') == 7 and page.count('<li class="now">') == 1


def test_a_finished_ring_stays_to_be_looked_at(commission, device):
    Commission.objects.update(stage=Stage.CARE)
    commission.refresh_from_db()
    complete(commission=commission, by_words="Ottoline")
    words = words_of(device.get(f"/yours/{commission.reference}/"))
    assert "Completed. It is finished." in words


def test_only_released_photographs_are_shown_in_order_with_scale_and_day(commission, device, jeweller):
    first = released(commission, jeweller, "The mount, to size")
    held = released(commission, jeweller, "Background shows the safe", release=False)
    second = released(commission, jeweller, "All halo stones set")
    page = device.get(f"/yours/{commission.reference}/progress/").content.decode()
    assert page.index("The mount, to size") < page.index("All halo stones set")
    assert "Shown 8 times its size." in page and "safe" not in page
    assert re.search(r'alt="All halo stones set"', page)
    for photo, status in ((first, 200), (second, 200), (held, 404)):
        assert device.get(f"/yours/{commission.reference}/progress/{photo.pk}/320/").status_code == status
    assert "All halo stones set" in device.get(f"/yours/{commission.reference}/").content.decode()


def test_the_ways_lead_only_where_something_is(commission, device, jeweller):
    def ways():
        page = device.get(f"/yours/{commission.reference}/").content.decode()
        nav = re.search(r'<nav class="ways".*?</nav>', page, re.DOTALL).group()
        for address in re.findall(r'href="([^"]+)"', nav):
            assert device.get(address).status_code == 200, address
        return re.findall(r">([^<]+)</a>", nav)

    assert ways() == ["Your ring", "Messages"]
    released(commission, jeweller)
    assert ways() == ["Your ring", "Progress", "Messages"]


def test_a_message_arrives_and_asks_us(commission, device, owner):
    path = f"/yours/{commission.reference}/messages/"
    assert device.post(path, {"body": "See https://elsewhere.example/<b>"}).status_code == 302
    page = device.get(path).content.decode()
    assert "See https://elsewhere.example/&lt;b&gt;" in page and 'href="https://elsewhere' not in page
    assert Question.objects.filter(key="message", addressee=Turn.US, answered_at=None).exists()
    post_message(commission=commission, body="Thank you.", from_client=False, person=owner)
    assert "Ottoline Brackwater" in device.get(path).content.decode()


@pytest.mark.parametrize(
    "number",
    # Published test numbers: a card's by its scheme, an account's from the registry of ISO 13616.
    [
        "4111 1111 1111 1111",
        "5555-5555-5555-4444",
        "GB29 NWBK 6016 1331 9268 19",
        "DE89370400440532013000 please",
    ],
)
def test_numbers_of_cards_and_accounts_are_asked_about_once(commission, device, number):
    path = f"/yours/{commission.reference}/messages/"
    page = device.post(path, {"body": f"Take it from {number}"}).content.decode()
    assert "looks like the number of a card or an account" in page and number in page
    assert not Message.objects.exists()
    device.post(path, {"body": f"Take it from {number}", "anyway": "1"})
    assert Message.objects.count() == 1


def test_other_numbers_pass(commission, device):
    path = f"/yours/{commission.reference}/messages/"
    device.post(path, {"body": "Report 1234567890123, phone +49 30 123456789, order 4111 1111 1111 1112"})
    assert Message.objects.count() == 1


@pytest.fixture
def asked(commission):
    """Joachim is asked to approve his halo."""
    answer_question(commission=commission, key="design.send", by_words="Ottoline")
    return open_question(
        commission=commission, key="approve:halo", addressee=Turn.CLIENT, words="Client approves the halo",
        client_words="Look at your halo",
    )  # fmt: skip


def test_three_answers_each_with_its_consequence(commission, device, asked):
    words = words_of(device.get(f"/yours/{commission.reference}/answer/{asked.pk}/"))
    for part in ("Approve", "may not be undone", "Ask", "The work waits until we have answered", "Not yet"):
        assert part in words


def test_approving_needs_the_passphrase_and_is_done_once(commission, device, asked):
    path = f"/yours/{commission.reference}/answer/{asked.pk}/"
    answer = device.post(path, {"act": "approve", "words": "Lovely."})
    assert answer.headers["Location"].startswith("/in/passphrase/?next=")
    asked.refresh_from_db()
    assert asked.answered_at is None
    device.post(answer.headers["Location"], {"phrase": PHRASE})
    assert "Lovely." in device.get(path).content.decode()  # what was typed stays
    assert device.post(path, {"act": "approve", "words": "Lovely."}).status_code == 302
    asked.refresh_from_db()
    assert asked.answered_at and asked.answered_by == "Joachim Seelenbrink: approve"
    assert Message.objects.get().body == "Lovely."
    assert device.post(path, {"act": "not-yet", "words": "Oh"}).status_code == 302
    assert Message.objects.count() == 1


@pytest.mark.parametrize("act", ["ask", "not-yet"])
def test_asking_and_not_yet_need_words_and_stop_the_work(commission, device, asked, act):
    path = f"/yours/{commission.reference}/answer/{asked.pk}/"
    assert "Write a few words" in device.post(path, {"act": act, "words": ""}).content.decode()
    device.post(path, {"act": act, "words": "The claws look heavy."})
    commission.refresh_from_db()
    assert commission.turn == Turn.US
    waits = Question.objects.filter(key="answer-to:approve:halo", answered_at=None).get()
    assert waits.blocking and waits.addressee == Turn.US
    assert Message.objects.get().body == "The claws look heavy."


def test_a_surprise_shows_a_neutral_title_on_every_page(commission, device, owner):
    Commission.objects.update(discreet=True)
    for page in ["", "progress/", "messages/"]:
        html = device.get(f"/yours/{commission.reference}/{page}").content.decode()
        assert re.search(r"<title>(.*?)</title>", html).group(1) == "Your page"
        assert "og:" not in html


def test_nothing_is_kept_by_the_browser(commission, device):
    for page in PAGES:
        answer = device.get(f"/yours/{commission.reference}/{page}")
        assert answer.headers["Cache-Control"] == "no-store"
        assert answer.headers["Referrer-Policy"] in ("same-origin", "no-referrer")


def test_each_page_asks_as_much_with_one_row_as_with_thirty(commission, device, jeweller, joachim, owner):
    def counts():
        seen = []
        for path in [*(f"/yours/{commission.reference}/{page}" for page in PAGES), "/yours/"]:
            with CaptureQueriesContext(connection) as queries:
                device.get(path)
            seen.append(len(queries))
        return seen

    released(commission, jeweller)
    post_message(commission=commission, body="Hello", from_client=True)
    open_commission(client=joachim, title="Pear", currency="GBP", person=owner)
    open_question(
        commission=commission, key="approve:0", addressee=Turn.CLIENT, words="Approve", blocking=False
    )
    few = counts()
    for number in range(1, 12):
        released(commission, jeweller, f"Photo {number}")
        post_message(commission=commission, body="Hello", from_client=number % 2 == 0, person=owner)
        open_question(
            commission=commission,
            key=f"approve:{number}",
            addressee=Turn.CLIENT,
            words="Approve",
            blocking=False,
        )
        open_commission(client=joachim, title="Pear", currency="GBP", person=owner)
    assert counts() == few
    assert max(few) <= 16
