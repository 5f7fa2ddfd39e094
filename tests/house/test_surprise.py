"""A surprise stays one on every way out of the house: letters, page titles, papers' names, the calendar."""

from __future__ import annotations

import datetime
import html
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import render_to_string
from django.test import Client as Browser
from django.urls import URLPattern, get_resolver

from commissions.delivery import actions, calendar, papers
from commissions.letters.discretion import discreet_words
from commissions.letters.tasks import draft_missing
from commissions.money.views.common import as_pdf
from commissions.record.models import Commission
from studio import clock
from studio.outbox.models import Letter
from studio.outbox.writing import render
from tests.commissions.delivery.conftest import (  # noqa: F401 - fixtures
    STREET_WORDS,
    arrived,
    one_factor,
    packed,
    ready,
    sent,
)
from tests.post import sign_in_client

LETTERS = sorted(
    path.parent.name for path in (Path(settings.BASE_DIR) / "templates" / "letters").glob("*/body.txt")
)
# What a person types (subject, words) is read before it goes, by the letters' own tests; the rest is telling.
TELLING = {
    "subject": "News",
    "words": "There is news.",
    "person": "Mabli Sandrake",
    "code": "1234 5678",
    "minutes": 10,
    "link": "http://127.0.0.1:8000/in/abc/",
    "name": "Joachim",
    "title": "Round diamond in a halo of 18",
    "pictures": [{"cid": "x@y", "alt": "The ring", "shown_width": 1, "shown_height": 1}],
    "price": "GBP 6,127.20",
    "amount": "GBP 6,127.20",
    "address": STREET_WORDS,
    "due_on": None,
    "happened_at": None,
}


def clients_paths() -> list[str]:
    """Every address under /yours/ that asks for nothing but the reference, with a place for it."""
    found: list[str] = []

    def walk(patterns, before):
        for row in patterns:
            path = before + str(row.pattern)
            if not isinstance(row, URLPattern):
                walk(row.url_patterns, path)
            elif path.startswith("yours/") and re.findall(r"<[^>]*>", path) in ([], ["<str:reference>"]):
                found.append("/" + path.replace("<str:reference>", "{reference}"))

    walk(get_resolver().url_patterns, "")
    return sorted(set(found))


PATHS = clients_paths()


@pytest.fixture
def surprise(arrived, owner):  # noqa: F811 - the fixture
    """A ring that has arrived, every paper made, and whose wearer knows nothing."""
    commission = arrived.commission
    actions.make_ring_record(commission=commission, person=owner)
    Commission.objects.filter(pk=commission.pk).update(discreet=True)
    commission.refresh_from_db()
    return commission


@pytest.mark.parametrize("name", LETTERS)
def test_no_letter_tells(name):
    letter = render(name=name, context=TELLING, subject_ref="P4V-8GB", discreet=True)
    for part in (letter.subject, letter.text, letter.html):
        assert discreet_words(part) == []
        assert STREET_WORDS not in part
    assert "<img" not in letter.html and "cid:" not in letter.html


def test_no_letter_of_the_whole_way_tells(surprise):
    with clock.standing_at(clock.now() + datetime.timedelta(days=20)):
        care = surprise.care_dates.first()
        actions.finish_care(care=care, findings="The ring is lovely", by_words="Joachim")
        draft_missing()
    written = Letter.objects.filter(subject_ref=surprise.reference, discreet=True)
    assert written.exists()
    for letter in written:
        assert letter.pictures in (None, [])
        assert discreet_words(f"{letter.subject}\n{letter.text}\n{letter.html}") == []
        assert STREET_WORDS not in letter.text + letter.html


def test_the_walk_knows_the_clients_pages():
    assert {
        "/yours/",
        "/yours/{reference}/",
        "/yours/{reference}/delivery/",
        "/yours/{reference}/care/",
    } <= set(PATHS)


@pytest.mark.parametrize("path", PATHS)
def test_no_page_title_tells(surprise, joachim, path):
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    answer = device.get(path.format(reference=surprise.reference))
    if answer.status_code in (302, 404, 405) or not answer["Content-Type"].startswith("text/html"):
        # A page that only takes a form, or that has nothing to show yet, has no title to read.
        assert b"<title>" not in answer.content or answer.status_code == 404
        return
    title = re.search(r"<title>(.*?)</title>", answer.content.decode(), re.S)[1]
    assert title.strip()
    assert discreet_words(html.unescape(title)) == []
    assert b'property="og:' not in answer.content and b'name="description"' not in answer.content
    assert "no-store" in answer["Cache-Control"]


@pytest.mark.parametrize("kind", list(papers.NAMES))
def test_no_papers_name_tells(surprise, kind, monkeypatch):
    made = []
    monkeypatch.setattr(
        papers.papers, "make", lambda *, template, context: made.append(render_to_string(template, context))
    )
    papers.make(kind=kind, commission=surprise, language="en-gb")
    title = re.search(r"<title>(.*?)</title>", made[0], re.S)[1]
    assert surprise.reference in title
    for words in (title, papers.file_name(kind=kind, commission=surprise).replace("-", " ")):
        assert discreet_words(html.unescape(words)) == []
    surprise.discreet = False
    assert kind in papers.file_name(kind=kind, commission=surprise)


def test_the_calendar_does_not_tell(surprise):
    text = calendar.feed().decode()
    summaries = re.findall(r"SUMMARY:(.*)\r\n", text)
    assert len(summaries) == 4
    assert set(summaries) == {f"Date {surprise.reference}"}
    assert STREET_WORDS not in text and surprise.client.full_name not in text
    assert "DESCRIPTION" not in text and "ATTACH" not in text and "LOCATION" not in text


def test_no_download_from_the_money_pages_tells(surprise, rf):
    request = rf.get("/")
    request.client_commission = surprise
    name = f"quotation-{surprise.reference}-1"
    answer = as_pdf(request, make=lambda: b"%PDF-", name=name)
    assert discreet_words(answer["Content-Disposition"].replace("-", " ")) == []
    assert surprise.reference in answer["Content-Disposition"]
    surprise.discreet = False
    assert name in as_pdf(request, make=lambda: b"%PDF-", name=name)["Content-Disposition"]
