"""A message is seen when the page it stands on is opened by the other side, once, and the other side can tell."""

import pytest
from django.test import Client as Browser

from commissions.letters.models import Draft
from commissions.letters.tasks import draft_missing
from commissions.record.actions import post_message
from commissions.record.models import Message
from tests.post import sign_in_client


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


def test_the_clients_page_marks_ours_and_the_studios_page_says_so(commission, joachim, owner, client):
    ours = post_message(commission=commission, body="The stone is here", from_client=False, person=owner)
    theirs = post_message(commission=commission, body="Lovely", from_client=True)
    client.force_login(owner)
    path = f"/studio/commissions/{commission.reference}/"
    assert "not opened yet" in client.get(f"{path}messages/").content.decode()
    theirs.refresh_from_db()
    ours.refresh_from_db()
    assert theirs.seen_at is not None and ours.seen_at is None
    device = sign_in_client(Browser(), joachim)
    page = device.get(f"/yours/{commission.reference}/messages/").content.decode()
    assert "<b>new</b>" in page and "read " in page
    first = Message.objects.get(pk=ours.pk).seen_at
    assert first is not None
    assert "<b>new</b>" not in device.get(f"/yours/{commission.reference}/messages/").content.decode()
    assert Message.objects.get(pk=ours.pk).seen_at == first
    for part in ("", "messages/"):
        page = client.get(f"{path}{part}").content.decode()
        assert "not opened yet" not in page and "opened " in page


def test_another_page_of_the_client_marks_nothing(commission, joachim, owner):
    row = post_message(commission=commission, body="The stone is here", from_client=False, person=owner)
    sign_in_client(Browser(), joachim).get(f"/yours/{commission.reference}/")
    row.refresh_from_db()
    assert row.seen_at is None


def test_what_was_opened_gets_no_letter(commission, joachim, owner):
    row = post_message(commission=commission, body="The stone is here", from_client=False, person=owner)
    sign_in_client(Browser(), joachim).get(f"/yours/{commission.reference}/messages/")
    draft_missing()
    draft = Draft.objects.get(message=row)
    assert draft.letter is None and "read it already" in draft.reason
