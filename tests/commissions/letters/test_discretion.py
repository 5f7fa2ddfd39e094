"""A surprise stays one: no template, no typed word, no picture, no sender gives it away."""

import html
import re
from pathlib import Path

import pytest
from django.conf import settings as studio_settings

from commissions.letters import actions, words
from commissions.letters.checks import discreet_addresses
from commissions.letters.discretion import discreet_words
from commissions.letters.models import Draft, State
from commissions.letters.tasks import draft_missing
from commissions.record import actions as record
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from commissions.record.route import Stage
from studio.outbox.models import Letter
from studio.outbox.writing import render

FOLDERS = sorted(
    path.parent.name for path in (Path(studio_settings.BASE_DIR) / "templates" / "letters").glob("*/body.txt")
)
# Everything that a template could let slip, in one context.
TELLING = {
    "subject": "News",
    "words": "There is news.",
    "person": "Mabli Sandrake",
    "code": "1234 5678",
    "minutes": 10,
    "link": "http://127.0.0.1:8000/enter/abc/",
    "name": "Joachim",
    "title": "Round diamond in a halo of 18",
    "pictures": [{"cid": "x@y", "alt": "The ring", "shown_width": 1, "shown_height": 1}],
    "price": "GBP 6,127.20",
    "amount": "GBP 6,127.20",
    "due_on": None,
    "happened_at": None,
    "reference": "P4V-8GB",
}


@pytest.fixture
def surprise(commission):
    Commission.objects.filter(pk=commission.pk).update(discreet=True)
    commission.discreet = True
    return commission


@pytest.mark.parametrize("name", FOLDERS)
@pytest.mark.parametrize("language", [code for code, _name in studio_settings.LANGUAGES])
def test_no_letter_gives_a_surprise_away_whatever_it_is_given(name, language):
    letter = render(name=name, context=TELLING, subject_ref="P4V-8GB", discreet=True, language=language)
    for part in (letter.subject, letter.text, letter.html):
        assert discreet_words(part) == []
    assert "<img" not in letter.html


@pytest.mark.parametrize("name", [name for name in FOLDERS if name != "discreet"])
def test_every_letter_says_in_html_what_it_says_in_text(name):
    letter = render(name=name, context=TELLING | {"pictures": []}, subject_ref="P4V-8GB")
    flat = " ".join(re.sub(r"<[^>]+>", " ", html.unescape(letter.html)).split())
    for paragraph in letter.text.split("\n\n"):
        for sentence in re.split(r"(?<=[.!?])\s+", paragraph):
            plain = " ".join(sentence.split())
            if plain and "http" not in plain:
                assert plain in flat


def test_a_step_of_a_surprise_is_told_in_neutral_words(surprise, owner, sent):
    for to, door in ((Stage.STONES, "design.agree_direction"), (Stage.AGREEMENT, "money.send_quote")):
        record.advance(commission=surprise, to=to, door=door, person=owner)
        draft_missing()
        draft = Draft.objects.get(state=State.OPEN)
        assert discreet_words(f"{draft.subject} {draft.words}") == []
    actions.send(draft=draft, subject=draft.subject, words=draft.words, chosen=[], person=owner)
    (letter,) = sent()
    assert letter.sender_name == studio_settings.DISCREET_NAME
    assert (
        discreet_words(
            "\n".join([letter.sender_name, letter.sender, letter.subject, letter.text, letter.html])
        )
        == []
    )


def test_messages_and_questions_of_a_surprise_are_neutral_too(surprise, owner, sent):
    Question.objects.update(opened_at=surprise.opened_at)
    record.post_message(commission=surprise, body="The ring is ready", from_client=False, person=owner)
    draft_missing()
    (letter,) = sent()
    assert discreet_words(letter.subject + letter.text + letter.html) == []


def test_a_telling_word_typed_by_hand_is_refused_by_name(surprise, owner):
    draft_missing()
    draft = Draft.objects.get()
    with pytest.raises(Refused, match="Leave out: diamond"):
        actions.send(draft=draft, subject="News", words="The diamond is here.", chosen=[], person=owner)
    assert Draft.objects.get().state == State.OPEN
    assert Letter.objects.count() == 0


def test_no_photo_is_proposed_or_sent_for_a_surprise(surprise, owner, release):
    (photo,) = release()
    draft_missing()
    draft = Draft.objects.get()
    assert draft.chosen == []
    with pytest.raises(Refused, match="no photo"):
        actions.send(draft=draft, subject="News", words="News.", chosen=[photo.pk], person=owner)


@pytest.mark.parametrize(
    "harmless",
    [
        "During spring we string things.",
        "Your page is waiting.",
        "A step forward (P4V-8GB)",
        "You can answer here.",
    ],
)
def test_ordinary_words_are_no_giveaway(harmless):
    assert discreet_words(harmless) == []


@pytest.mark.parametrize(
    "telling",
    [
        "the ring",
        "DIAMONDS",
        "engagement",
        "£200",
        "1.200 €",
        "EUR 5",
        "info@goldschmiede-x.example",
        '<a href="https://rings.example/">here</a>',
        "Verlobungsring",
        "Überraschung",
        "fiancée",
        "a gift",
    ],
)
def test_telling_words_are_found(telling):
    assert discreet_words(telling) != []


@pytest.mark.parametrize("stage", list(words.STEPS))
def test_subjects_are_neutral_for_everybody(stage, commission):
    from types import SimpleNamespace

    for frm in ("", Stage.CARE):
        subject, _said = words.of_move(
            move=SimpleNamespace(frm=frm, to=stage), commission=commission, language="en-gb"
        )
        assert discreet_words(subject) == []


def test_an_address_of_the_house_that_names_the_trade_is_reported(settings):
    assert discreet_addresses(None) == []
    settings.DISCREET_FROM = "hello@brackwater-rings.example"
    assert [found.id for found in discreet_addresses(None)] == ["letters.W001"]
