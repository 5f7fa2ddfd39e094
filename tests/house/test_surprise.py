"""
A surprise stays one on every way out of the house: letters, page titles, papers, downloads, the calendar.

The ways are not listed here: they are read from the folders of templates, the addresses and the sources of the
calendar, so that a new one is walked as soon as it is there.
"""

from __future__ import annotations

import datetime
import html
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import render_to_string
from django.test import Client as Browser
from django.urls import URLPattern, get_resolver, reverse

from commissions.delivery import actions, calendar, papers
from commissions.letters.discretion import discreet_words
from commissions.letters.tasks import draft_missing
from commissions.record.models import Commission
from studio import clock
from studio import papers as studio_papers
from studio.outbox.models import Letter
from studio.outbox.writing import render
from tests.commissions.delivery.conftest import STREET_WORDS, one_factor  # noqa: F401 - fixture
from tests.house.whole import arguments_of, whole_way
from tests.post import sign_in_client

TEMPLATES = Path(settings.BASE_DIR) / "templates"
LETTERS = sorted(path.parent.name for path in (TEMPLATES / "letters").glob("*/body.txt"))
PAPERS = sorted(path.name for path in (TEMPLATES / "print").glob("*.html") if path.name != "base.html")
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


def clients_addresses() -> list[str]:
    """The name of every address under /yours/, with its namespace; pictures have no words and are left out."""
    found: list[str] = []

    def walk(patterns, before, spaces):
        for row in patterns:
            path = before + str(row.pattern)
            if not isinstance(row, URLPattern):
                walk(row.url_patterns, path, [*spaces, row.namespace] if row.namespace else spaces)
            elif path.startswith("yours/") and "<int:size>" not in path:
                found.append(":".join([*spaces, row.name]))

    walk(get_resolver().url_patterns, "", [])
    return sorted(set(found))


ADDRESSES = clients_addresses()


@pytest.fixture
def surprise(commission, owner):
    """A ring that has gone its whole way, with everything that a client can have of it."""
    return whole_way(commission, owner)


def address(name: str, commission) -> str:
    """The address of one of the client's ways here."""
    for given in ({}, {"reference": commission.reference}):
        try:
            return reverse(name, kwargs=given)
        except Exception:
            continue
    more = arguments_of(commission).get(name)
    assert more is not None, f"{name} asks for more than the reference: say in whole.py what to ask it for"
    return reverse(name, kwargs={"reference": commission.reference, **more})


@pytest.mark.parametrize("name", LETTERS)
def test_no_letter_tells(name):
    letter = render(name=name, context=TELLING, subject_ref="P4V-8GB", discreet=True)
    for part in (letter.subject, letter.text, letter.html):
        assert discreet_words(part) == []
        assert STREET_WORDS not in part
    assert "<img" not in letter.html and "cid:" not in letter.html


def test_no_letter_of_the_whole_way_tells(surprise):
    with clock.standing_at(clock.now() + datetime.timedelta(days=2)):
        actions.ask_for_address(commission=surprise)
        draft_missing()
    written = Letter.objects.filter(subject_ref__in=Commission.objects.values("reference"), discreet=True)
    assert written.exists()
    for letter in written:
        assert letter.pictures in (None, [])
        assert discreet_words(f"{letter.subject}\n{letter.text}\n{letter.html}") == []
        assert STREET_WORDS not in letter.text + letter.html


def test_the_walk_knows_the_clients_pages():
    assert {
        "pages:client-home",
        "pages:client-ring",
        "delivery-yours:worry",
        "delivery-yours:kind-words",
        "money-yours:quotation-pdf",
    } <= set(ADDRESSES)


def test_no_page_title_and_no_download_tells(surprise, joachim, monkeypatch):
    """One walk over every address of the client: titles, descriptions, names of downloads, titles of papers."""
    made: list[str] = []

    def drawn(*, template, context, request=None):
        made.append(render_to_string(template, context))
        return studio_papers.Paper(content=b"%PDF-", pages=1)

    monkeypatch.setattr(studio_papers, "make", drawn)
    monkeypatch.setattr("commissions.money.papers.make_pdf", drawn)
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    titles, downloads = 0, 0
    for name in ADDRESSES:
        answer = device.get(address(name, surprise))
        if answer.status_code in (302, 404, 405):
            # A way that only takes a form, or that has nothing to show yet, has no title to read.
            continue
        assert answer.status_code in (200, 409, 503), name
        if not answer["Content-Type"].startswith("text/html"):
            downloads += 1
            words = answer.headers.get("Content-Disposition", "").replace("-", " ")
        else:
            titles += 1
            assert "no-store" in answer["Cache-Control"], name
            content = answer.content.decode()
            words = re.search(r"<title>(.*?)</title>", content, re.S)[1]
            assert words.strip()
            assert 'property="og:' not in content and 'name="description"' not in content
        assert discreet_words(html.unescape(words)) == [], name
    # The walk has seen something: a change that closes the pages does not make this test quiet.
    assert titles >= 12 and downloads >= 4
    assert len(made) >= 4
    for paper in made:
        head = paper.split("</head>")[0]
        assert discreet_words(html.unescape(re.search(r"<title>(.*?)</title>", head, re.S)[1])) == []
        assert settings.STUDIO_NAME not in head


@pytest.mark.parametrize("name", PAPERS)
def test_every_paper_takes_its_title_from_the_one_place_that_keeps_quiet(name):
    source = (TEMPLATES / "print" / name).read_text(encoding="utf-8")
    assert source.startswith('{% extends "print/')
    assert "<title" not in source and "<meta" not in source


def test_the_one_place_keeps_quiet(surprise):
    page = render_to_string("print/base.html", {"commission": surprise, "reference": surprise.reference})
    assert re.search(r"<title>\s*(.*?)</title>", page, re.S)[1].strip() == surprise.reference


@pytest.mark.parametrize("kind", list(papers.NAMES))
def test_no_papers_name_tells(surprise, kind):
    for words in (
        papers.name_of(kind=kind, commission=surprise),
        papers.file_name(kind=kind, commission=surprise).replace("-", " "),
    ):
        assert discreet_words(words) == []
    surprise.discreet = False
    assert kind in papers.file_name(kind=kind, commission=surprise)


@pytest.mark.parametrize("kind", papers.NEUTRAL)
def test_what_lies_in_the_parcel_tells_nothing_from_its_first_word_to_its_last(surprise, kind, monkeypatch):
    made = []
    monkeypatch.setattr(
        papers.papers, "make", lambda *, template, context: made.append(render_to_string(template, context))
    )
    row = surprise.kept_papers.get(kind=kind)
    papers.draw(kind=kind, commission=surprise, data=row.data, language="en-gb", kept=row)
    assert discreet_words(html.unescape(made[0])) == []
    assert STREET_WORDS not in made[0] and settings.STUDIO_NAME not in made[0]
    assert settings.DISCREET_NAME in made[0] and "<img" not in made[0]


def test_every_other_paper_of_a_surprise_asks_for_the_passphrase(surprise, joachim):
    device = sign_in_client(Browser(), joachim)
    for row in surprise.kept_papers.all():
        if row.kind in papers.CLIENTS and row.kind not in papers.NEUTRAL:
            path = f"/yours/{surprise.reference}/delivery/papers/{row.pk}/"
            assert device.get(path).status_code == 302


@pytest.mark.parametrize("source", calendar.SOURCES, ids=lambda source: source.__name__)
def test_no_entry_of_the_calendar_tells(surprise, source):
    if not list(source()):
        # A date that is promised stands before the ring has arrived.
        Commission.objects.filter(pk=surprise.pk).update(stage="setting", promised_on=clock.today())
    rows = list(source())
    assert rows, f"{source.__name__} has nothing to show: let whole.py bring it something"
    for _name, _day, commission, words in rows:
        assert calendar.summary_of(commission, words) == f"Date {commission.reference}"


def test_the_calendar_holds_no_more_than_day_and_reference(surprise):
    text = calendar.feed().decode()
    summaries = re.findall(r"SUMMARY:(.*)\r\n", text)
    assert len(summaries) >= 5
    assert set(summaries) == {f"Date {surprise.reference}"}
    assert STREET_WORDS not in text and surprise.client.full_name not in text
    assert "DESCRIPTION" not in text and "ATTACH" not in text and "LOCATION" not in text


def test_nobody_outside_sees_anything_of_it(surprise):
    record = surprise.ring_records.get()
    assert Browser().get(f"/ring/{record.digest}/").status_code == 404
    assert "never takes it off" not in Browser().get("/kind-words/").content.decode()
