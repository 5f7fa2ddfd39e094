"""One attempt at a letter, against a real mail server, and what becomes of it."""

import datetime
from pathlib import Path

import pytest
from django.core.files.base import ContentFile
from django.core.files.storage import default_storage
from django.utils import timezone

from studio.outbox import actions, queries
from studio.outbox.delivery import Line, deliver
from studio.outbox.errors import Exhausted
from studio.outbox.models import Letter, State, Unreachable
from studio.outbox.tasks import send_due, send_letter, sweep
from studio.trail.models import Entry
from tests.studio.outbox.post_office import free_port, post_office


@pytest.fixture
def office(settings):
    with post_office(settings) as opened:
        yield opened


def put(key="move:1", **changes) -> Letter:
    about = {
        "kind": "news",
        "to": "joachim@client.example",
        "subject": "News for you",
        "text": "It goes on.\n",
        "html": "<p>It goes on.</p>",
        "dedupe_key": key,
        "subject_ref": "P4V-8GB",
        "language": "en-gb",
    }
    return actions.put(**(about | changes))


def again(letter: Letter) -> Letter:
    return Letter.objects.get(pk=letter.pk)


def test_a_letter_is_accepted_once_and_the_row_and_the_trail_say_so(db, office):
    letter = put()
    assert send_letter(letter.pk) is True
    assert send_letter(letter.pk) is False
    assert [message["Message-ID"] for message in office.messages] == [letter.message_id]
    assert again(letter).state == State.SENT
    assert Entry.objects.filter(verb="letter sent", subject="P4V-8GB").count() == 1


def test_the_message_is_text_first_then_html_with_its_pictures(db, office, settings, tmp_path, jpeg):
    settings.MEDIA_ROOT = tmp_path
    file = default_storage.save("picture.jpg", ContentFile(jpeg))
    letter = put(
        html='<p>Look: <img src="cid:one@studio.example" alt="the mount"></p>',
        pictures=[{"file": file, "cid": "one@studio.example", "alt": "the mount", "width": 8, "height": 8}],
        reply_to="mabli@studio.example",
        sender_name="Größe & Söhne",
    )
    put(key="move:2")
    send_due()
    message, second = office.messages
    assert message.get_content_type() == "multipart/alternative"
    text, related = message.iter_parts()
    html, picture = related.iter_parts()
    assert text.get_content().splitlines() == ["It goes on."]
    assert (related.get_content_type(), html.get_content_type()) == ("multipart/related", "text/html")
    assert picture.get_content() == jpeg
    assert (picture["Content-ID"], picture.get_content_disposition()) == ("<one@studio.example>", "inline")
    assert message["From"] == f"Größe & Söhne <{settings.LETTER_FROM}>"
    assert message["Auto-Submitted"] == "auto-generated"
    assert message["Reply-To"] == "mabli@studio.example"
    assert second["References"] == second["In-Reply-To"] == letter.message_id


def test_a_refused_address_is_marked_and_a_later_success_clears_it(db, office, owner):
    letter = put()
    office.recipient_answers["joachim@client.example"] = "550 5.1.1 no such mailbox"
    send_due()
    assert again(letter).state == State.REFUSED
    assert "550" in again(letter).error
    assert queries.unreachable(email="Joachim@client.example") is not None
    office.recipient_answers.clear()
    assert actions.send_again(letter=letter, person=owner) is True
    send_due()
    assert again(letter).state == State.SENT
    assert Unreachable.objects.count() == 0


def test_a_refused_message_says_why_without_blaming_the_address(db, office):
    letter = put()
    office.data_answer = "554 looks like spam"
    send_due()
    assert again(letter).state == State.REFUSED
    assert "looks like spam" in again(letter).error
    assert Unreachable.objects.count() == 0


def test_a_passing_hindrance_waits_longer_each_time_and_is_given_up_visibly(db, office):
    letter = put()
    office.data_answer = "451 try later"
    waits = []
    for _round in range(12):
        before = timezone.now()
        Letter.objects.filter(pk=letter.pk).update(next_at=before)
        send_due()
        row = again(letter)
        waits.append((row.next_at - before).total_seconds())
        assert row.state == State.WAITING
    for number, wait in enumerate(waits):
        expected = min(6 * 3600, 30 * 2**number)
        assert 0.8 * expected <= wait <= 1.2 * expected + 2
    Letter.objects.filter(pk=letter.pk).update(
        next_at=timezone.now(), give_up_at=timezone.now() + datetime.timedelta(hours=1)
    )
    send_due()
    assert again(letter).state == State.GIVEN_UP
    assert queries.failed_count() == 1


def test_a_mail_server_that_is_down_refuses_nothing(db, settings):
    letter = put()
    settings.EMAIL_BACKEND = "django.core.mail.backends.smtp.EmailBackend"
    settings.EMAIL_HOST, settings.EMAIL_PORT = "127.0.0.1", free_port()
    send_due()
    assert again(letter).state == State.WAITING
    assert again(letter).error.startswith("The mail server could not be reached")


def test_the_others_still_go_out_when_one_letter_cannot(db, office):
    bad = put(key="move:1", pictures=[{"file": "gone.jpg", "cid": "a@b", "alt": "", "width": 1, "height": 1}])
    good = put(key="move:2")
    send_due()
    assert again(bad).error == "A picture of this letter is gone."
    assert (again(bad).state, again(good).state) == (State.REFUSED, State.SENT)


def test_a_letter_with_a_line_break_in_its_head_is_never_sent(db, office):
    letter = put(subject="News\r\nBcc: everybody@else.example")
    send_due()
    assert again(letter).state == State.REFUSED
    assert office.messages == []


def test_a_letter_is_claimed_by_one_alone_until_its_lease_runs_out(db, settings):
    letter = put()
    first = actions.claim(pk=letter.pk)
    assert first
    assert actions.claim(pk=letter.pk) is None
    Letter.objects.filter(pk=letter.pk).update(lease_until=timezone.now() - datetime.timedelta(seconds=1))
    second = actions.claim(pk=letter.pk)
    assert second not in (None, first)
    row = again(letter)
    assert (row.attempts, row.crashes) == (2, 1)
    row.token = first
    assert actions.finish_sent(letter=row, forget_words=False) is False
    assert again(letter).state == State.LEASED


def test_a_letter_that_kills_its_senders_is_put_aside(db, office):
    letter = put()
    for _death in range(actions.CRASHES_ALLOWED):
        assert actions.claim(pk=letter.pk)
        Letter.objects.filter(pk=letter.pk).update(lease_until=timezone.now() - datetime.timedelta(seconds=1))
    send_due()
    assert again(letter).state == State.GIVEN_UP
    assert office.messages == []


def test_running_out_of_memory_never_reaches_the_worker_as_such(db, office, monkeypatch):
    letter = put()

    def greedy(**_words):
        raise MemoryError

    monkeypatch.setattr("studio.outbox.building.build", greedy)
    with pytest.raises(Exhausted), Line() as line:
        deliver(pk=letter.pk, line=line)
    assert again(letter).state == State.WAITING


def test_a_code_loses_its_words_once_a_mail_server_has_it(db, office):
    letter = put(keep_words=False, text="Your code is 123456", html="<b>123456</b>")
    send_due()
    assert "123456" in office.messages[0].get_body(("plain",)).get_content()
    assert "123456" not in again(letter).text + again(letter).html


def test_the_local_outbox_keeps_one_whole_file_for_each_letter(db, settings, tmp_path):
    settings.EMAIL_BACKEND = "studio.outbox.folder.FolderBackend"
    settings.OUTBOX_DIR = tmp_path / "outbox"
    letter = put(keep_words=False)
    send_due()
    Letter.objects.update(state=State.WAITING)
    send_due()
    files = list(Path(settings.OUTBOX_DIR).iterdir())
    assert [file.name for file in files] == [f"{letter.message_id.strip('<>')}.eml"]
    assert files[0].read_bytes().endswith(b"--\r\n")
    assert again(letter).text == "It goes on.\n"


def test_a_withdrawn_letter_is_never_sent_and_a_claimed_one_cannot_be_withdrawn(db, office):
    one, two = put(), put(key="move:2")
    assert actions.withdraw(letter=one, reason="Overtaken.") is True
    assert actions.claim(pk=two.pk)
    assert actions.withdraw(letter=two, reason="Overtaken.") is False
    send_due()
    assert again(one).state == State.WITHDRAWN
    assert office.messages == []


def test_a_sent_letter_that_comes_back_marks_the_address(db, office, owner):
    letter = put()
    assert actions.came_back(letter=letter, reason="unknown", person=owner) is False
    send_due()
    assert actions.came_back(letter=letter, reason="mailbox closed", person=owner) is True
    assert again(letter).state == State.RETURNED
    assert queries.unreachable(email=letter.to).reason == "mailbox closed"


def test_one_failing_part_of_the_sweep_does_not_keep_the_next_from_its_turn(db, office, settings):
    settings.SWEEP = ["tests.studio.outbox.test_delivery.failing", "studio.outbox.tasks.send_due"]
    letter = put()
    assert sweep() == {settings.SWEEP[0]: "failed", settings.SWEEP[1]: "1"}
    assert again(letter).state == State.SENT


def failing():
    raise ValueError("broken on purpose")
