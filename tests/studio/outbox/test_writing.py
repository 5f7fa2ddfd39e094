"""A letter's words: rendered once, in the reader's language, and never giving a secret away."""

import pytest

from studio.outbox import actions, writing
from studio.outbox.models import Letter, State


def put(**changes):
    about = {
        "name": "discreet",
        "to": "joachim@client.example",
        "context": {},
        "dedupe_key": "test:1",
        "subject_ref": "P4V-8GB",
        "language": "en-gb",
    }
    return writing.write(**(about | changes))


def test_a_letter_says_the_same_in_text_and_in_html(db):
    letter = put()
    assert letter.subject == "Something is waiting for you"
    for words in (letter.text, letter.html):
        assert "There is something to read on your page." in words
        assert "/yours/" in words
        assert "P4V-8GB" in words


def test_an_event_has_one_letter_ever(db):
    first = put()
    second = put(to="somebody@else.example")
    assert second.pk == first.pk
    assert Letter.objects.get().to == "joachim@client.example"


def test_letters_about_one_matter_thread_under_the_first(db):
    first, second = put(), put(dedupe_key="test:2")
    other = put(dedupe_key="test:3", subject_ref="XXX-XXX")
    assert first.thread_root == ""
    assert second.thread_root == first.message_id
    assert other.thread_root == ""


def test_plain_text_is_not_escaped_and_html_is(db, settings):
    settings.STUDIO_NAME = "Sandrake & Thornquill"
    letter = put()
    assert "Sandrake & Thornquill" in letter.text
    assert "Sandrake &amp; Thornquill" in letter.html


def test_a_discreet_letter_takes_the_neutral_words_and_the_neutral_sender(db, settings):
    settings.STUDIO_NAME = "Brackwater Rings"
    settings.DISCREET_FROM = "desk@post.example"
    letter = put(discreet=True)
    assert letter.state == State.WAITING
    assert (letter.sender_name, letter.sender) == (settings.DISCREET_NAME, "desk@post.example")
    assert "Brackwater" not in letter.text + letter.html + letter.subject


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("subject", "Your ring is ready"),
        ("text", "EUR 1,200 is due"),
        ("html", "<p>the <b>diamond</b></p>"),
        ("reply_to", "hello@brackwater-rings.example"),
    ],
)
def test_a_discreet_letter_with_a_telling_word_is_held_back(db, field, value):

    letter = actions.put(
        **{
            "kind": "test",
            "to": "a@b.example",
            "subject": "News",
            "text": "News.",
            "dedupe_key": "x",
            "discreet": True,
            field: value,
        }
    )
    assert letter.state == State.HELD
    assert letter.error.startswith("Would give the surprise away")


def test_a_picture_never_goes_into_a_discreet_letter(db):

    letter = actions.put(
        kind="test",
        to="a@b.example",
        subject="News",
        text="News.",
        dedupe_key="x",
        discreet=True,
        pictures=[{"file": "a.jpg", "cid": "a@b", "alt": "", "width": 1, "height": 1}],
    )
    assert letter.state == State.HELD
