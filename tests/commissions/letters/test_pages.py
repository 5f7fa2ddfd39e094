"""The desk where a draft becomes a letter, and who may sit at it."""

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from commissions.letters import actions, queries
from commissions.letters.models import Draft, State
from commissions.letters.tasks import draft_missing
from commissions.record import actions as record
from commissions.record.models import Commission
from commissions.record.route import Stage
from studio.outbox.models import Letter
from tests.cast import ring_client


@pytest.fixture
def draft(commission):
    draft_missing()
    return Draft.objects.get()


def page(name, draft, *more):
    return reverse(f"letters:{name}", args=[draft.commission.reference, *more])


def test_letters_are_for_the_owner_and_the_jewellers(client, draft, setter, jeweller):
    addresses = [page("letters", draft), page("draft", draft, draft.pk), page("reply", draft)]
    assert [client.get(address).status_code for address in addresses] == [302, 302, 302]
    client.force_login(setter)
    assert [client.get(address).status_code for address in addresses] == [403, 403, 403]
    client.force_login(jeweller)
    assert [client.get(address).status_code for address in addresses] == [200, 200, 200]


def test_a_draft_opens_under_its_own_commission_alone(client, draft, owner):
    other = record.open_commission(
        client=ring_client(email="delphine@client.example", full_name="Delphine Quarrie"),
        title="Another",
        currency="GBP",
        person=owner,
    )
    client.force_login(owner)
    assert client.get(reverse("letters:draft", args=[other.reference, draft.pk])).status_code == 404
    assert client.get(reverse("letters:letters", args=["NO-SUCH"])).status_code == 404


def test_the_jeweller_edits_previews_and_sends(client, draft, jeweller, release, sent):
    (photo,) = release()
    draft_missing()
    client.force_login(jeweller)
    typed = {
        "subject": "To read: a small thing",
        "words": "The drawing\nis coming.",
        "photos": [photo.pk],
    }
    seen = client.post(page("preview", draft, draft.pk), typed).content.decode()
    assert "To read: a small thing" in seen
    assert "[Picture: The mount (shown 8 times its size)]" in seen
    client.post(page("draft", draft, draft.pk), typed | {"keep": "1"})
    assert Draft.objects.get(state=State.OPEN).words == "The drawing\nis coming."
    assert Letter.objects.count() == 0
    answer = client.post(page("draft", draft, draft.pk), typed | {"send": "1"})
    assert answer["Location"] == page("letters", draft)
    (letter,) = sent()
    assert len(letter.pictures) == 1
    assert "The drawing" in client.get(page("draft", draft, draft.pk)).content.decode()


def test_what_was_typed_stays_when_it_is_refused(client, draft, jeweller):
    Commission.objects.update(discreet=True)
    client.force_login(jeweller)
    answer = client.post(
        page("draft", draft, draft.pk), {"subject": "News", "words": "The gold is here", "send": "1"}
    )
    text = answer.content.decode()
    assert "Leave out: gold." in text
    assert "The gold is here" in text
    assert Letter.objects.count() == 0


def test_it_works_without_scripts(client, draft, jeweller):
    client.force_login(jeweller)
    answer = client.post(
        page("draft", draft, draft.pk), {"subject": "News", "words": "Something new", "look": "1"}
    )
    assert "Something new" in answer.context["letter"].text
    assert Draft.objects.get().state == State.OPEN


def test_sending_a_letter_that_somebody_has_decided_about_is_told(client, draft, jeweller, owner):
    actions.decline(draft=draft, person=owner)
    client.force_login(jeweller)
    answer = client.post(page("draft", draft, draft.pk), {"subject": "a", "words": "b", "send": "1"})
    assert "Not sent, as decided" in answer.content.decode()
    client.post(page("decline", draft, draft.pk))
    assert Letter.objects.count() == 0


def test_a_reply_is_filed_and_a_wish_is_kept(client, draft, jeweller):
    client.force_login(jeweller)
    assert "Error:" in client.post(page("reply", draft), {"body": " "}).content.decode()
    client.post(page("reply", draft), {"body": "Lovely."})
    assert draft.commission.messages.get().body == "Lovely."
    client.post(page("wish", draft), {"photos": "false"})
    assert "wants no photos" in client.get(page("letters", draft)).content.decode()
    client.post(page("wish", draft), {"photos": "true"})
    assert "Photos may go along in letters" in client.get(page("letters", draft)).content.decode()


def test_the_list_asks_as_many_questions_for_one_letter_as_for_thirty(client, commission, draft, owner):
    client.force_login(owner)
    client.get(page("letters", draft))
    with CaptureQueriesContext(connection) as one:
        client.get(page("letters", draft))
    for number in range(30):
        Draft.objects.create(
            commission=commission,
            kind="news",
            cause=f"test:{number}",
            subject=f"Letter {number}",
            happened_at=draft.happened_at,
            created_at=draft.created_at,
            state=State.DECLINED,
        )
    with CaptureQueriesContext(connection) as many:
        answer = client.get(page("letters", draft))
    assert answer.content.decode().count("Not sent, as decided") == 30
    assert len(many) == len(one)


def test_the_desk_asks_as_many_questions_for_one_photo_as_for_many(client, commission, draft, owner, release):
    release()
    draft_missing()
    client.force_login(owner)
    client.get(page("draft", draft, draft.pk))
    with CaptureQueriesContext(connection) as one:
        client.get(page("draft", draft, draft.pk))
    release(4)
    with CaptureQueriesContext(connection) as many:
        client.get(page("draft", draft, draft.pk))
    assert len(many) == len(one)


def test_the_sweep_asks_no_more_when_nothing_is_new(commission, owner, django_assert_max_num_queries):
    record.advance(commission=commission, to=Stage.STONES, door="design.agree_direction", person=owner)
    draft_missing()
    with django_assert_max_num_queries(7):
        assert draft_missing() == 0


def test_one_press_in_the_mail_program_stops_letters_about_progress(client, draft, owner, sent):
    actions.send(draft=draft, subject="News", words="News.", chosen=[], person=owner)
    (letter,) = sent()
    way = letter.headers["List-Unsubscribe"]
    assert letter.headers["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    address = way[way.index("/letters/") : way.index(">")]
    strict = Client(enforce_csrf_checks=True)
    assert "Press the button" in strict.get(address).content.decode()
    assert queries.wishes_progress(commission=draft.commission) is True
    strict.post(address, {"List-Unsubscribe": "One-Click"})
    assert queries.wishes_progress(commission=draft.commission) is False
    assert strict.get("/letters/stop/nonsense/").status_code == 404
    assert strict.get("/yours/").status_code == 302
