"""The owner reads what the house has written; nobody else does."""

import pytest
from django.urls import reverse

from studio.outbox import actions
from studio.outbox.models import Letter, State
from studio.outbox.tasks import send_due


@pytest.fixture
def letter(db, settings, tmp_path):
    settings.EMAIL_BACKEND = "studio.outbox.folder.FolderBackend"
    settings.OUTBOX_DIR = tmp_path
    settings.SECOND_FACTOR_REQUIRED = False
    return put(1)


def put(number):
    return actions.put(
        kind="news",
        to="joachim@client.example",
        subject=f"News {number}",
        text="It goes on.",
        html='<p>It goes on. <script>alert(1)</script><img src="cid:x"></p>',
        dedupe_key=f"move:{number}",
    )


def test_only_the_owner_opens_the_outbox(client, letter, owner, jeweller):
    pages = [
        reverse("outbox:letters"),
        reverse("outbox:letter", args=[letter.pk]),
        reverse("outbox:letter-html", args=[letter.pk]),
    ]
    for page in pages:
        assert client.get(page).status_code == 302
    client.force_login(jeweller)
    assert [client.get(page).status_code for page in pages] == [403, 403, 403]
    client.force_login(owner)
    assert [client.get(page).status_code for page in pages] == [200, 200, 200]


def test_a_letter_is_read_as_text_and_as_a_document_that_can_do_nothing(client, letter, owner):
    client.force_login(owner)
    page = client.get(reverse("outbox:letter", args=[letter.pk]))
    assert "It goes on." in page.content.decode()
    document = client.get(reverse("outbox:letter-html", args=[letter.pk]))
    policy = document["Content-Security-Policy"]
    assert "sandbox" in policy
    assert "default-src 'none'" in policy
    assert "script-src" not in policy
    assert "style-src" not in policy


def test_the_list_asks_as_many_questions_of_the_database_for_one_as_for_thirty(
    client, letter, owner, django_assert_num_queries, django_assert_max_num_queries
):
    from django.db import connection
    from django.test.utils import CaptureQueriesContext

    client.force_login(owner)
    client.get(reverse("outbox:letters"))  # the first page of a session also enters the device
    with CaptureQueriesContext(connection) as one:
        client.get(reverse("outbox:letters"))
    for number in range(2, 31):
        put(number)
    with django_assert_num_queries(len(one)):
        response = client.get(reverse("outbox:letters"))
    assert response.content.decode().count("joachim@client.example") == 30


def test_older_letters_are_a_page_further_on(client, letter, owner):
    for number in range(2, 62):
        put(number)
    client.force_login(owner)
    first = client.get(reverse("outbox:letters"))
    second = client.get(reverse("outbox:letters") + f"?before={first.context['more']}")
    shown = [row.pk for row in first.context["letters"]] + [row.pk for row in second.context["letters"]]
    assert shown == list(Letter.objects.order_by("-pk").values_list("pk", flat=True))


def test_a_refused_letter_is_sent_again_from_its_page(client, letter, owner):
    Letter.objects.update(state=State.REFUSED, error="550 no such mailbox")
    client.force_login(owner)
    assert "550 no such mailbox" in client.get(reverse("outbox:letters") + "?state=failed").content.decode()
    client.post(reverse("outbox:send-again", args=[letter.pk]))
    send_due()
    assert Letter.objects.get().state == State.SENT


def test_a_letter_that_came_back_needs_its_reason(client, letter, owner):
    send_due()
    client.force_login(owner)
    address = reverse("outbox:came-back", args=[letter.pk])
    assert "Error:" in client.post(address, {"reason": ""}).content.decode()
    assert Letter.objects.get().state == State.SENT
    client.post(address, {"reason": "mailbox closed"})
    assert Letter.objects.get().state == State.RETURNED


def test_a_strange_address_in_the_list_is_no_error(client, letter, owner):
    client.force_login(owner)
    assert client.get(reverse("outbox:letters") + "?state=nonsense&before=x").status_code == 200
    assert client.get(reverse("outbox:letter", args=[99999])).status_code == 404


def test_the_owner_writes_a_letter_to_herself(client, letter, owner):
    client.force_login(owner)
    answer = client.post(reverse("outbox:test"))
    send_due()
    written = Letter.objects.get(kind="test")
    assert answer["Location"] == reverse("outbox:letter", args=[written.pk])
    assert (written.to, written.state) == (owner.email, State.SENT)


def test_a_held_letter_goes_once_the_house_has_a_neutral_sender(client, settings, letter, owner):
    settings.DISCREET_FROM = "hello@brackwater-rings.example"
    held = actions.put(
        kind="news",
        to="joachim@client.example",
        subject="News",
        text="There is news.",
        dedupe_key="x",
        discreet=True,
    )
    client.force_login(owner)
    address = reverse("outbox:send-again", args=[held.pk])
    client.post(address)
    assert Letter.objects.get(pk=held.pk).state == State.HELD
    settings.DISCREET_FROM = "desk@post.example"
    client.post(address)
    send_due()
    gone = Letter.objects.get(pk=held.pk)
    assert (gone.state, gone.sender) == (State.SENT, "desk@post.example")
