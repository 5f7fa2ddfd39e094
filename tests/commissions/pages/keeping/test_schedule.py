"""The schedule: what goes by itself goes on its day and not before, and the page says the figures that are used."""

import datetime

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.utils.module_loading import import_string

from commissions.delivery.actions.addressing import KEPT_DAYS
from commissions.intake.actions.writing import DECLINED_DAYS, DRAFT_DAYS, UNANSWERED_DAYS
from commissions.intake.models import Brief
from commissions.intake.tasks import remove_old
from commissions.pages.keeping import actions, schedule
from commissions.pages.keeping.tasks import forget_unagreed
from commissions.record.actions import open_commission, post_message, withdraw
from commissions.record.models import Message
from studio import clock
from studio.keeping.models import Erasure
from studio.outbox.models import Letter
from studio.outbox.writing import write
from studio.people.actions.codes import ask_code, forget_old_codes
from studio.people.models import ClientAccess, OneTimeCode
from studio.pictures.models import Picture
from tests.commissions.pages.keeping.conftest import a_brief

DAY = datetime.timedelta(days=1)
MINUTE = datetime.timedelta(minutes=1)


def goes(*, after: datetime.timedelta, task, since=None) -> bool:
    """Whether *task* leaves everything until just before *after*, and takes something just after it."""
    since = since or clock.now()
    with clock.standing_at(since + after - MINUTE):
        assert task() == 0
    with clock.standing_at(since + after + MINUTE):
        return task() >= 1


def test_a_draft_with_its_pictures(joachim):
    now = clock.now()
    a_brief(client=joachim, reference="A1B-2CD", state="draft", expires_at=now + DRAFT_DAYS * DAY)
    assert goes(after=DRAFT_DAYS * DAY, task=remove_old, since=now)
    assert not Brief.objects.exists() and not Picture.objects.exists()


def test_a_brief_we_said_no_to(joachim):
    now = clock.now()
    a_brief(client=joachim, reference="A1B-2CD", state="declined", closed_at=now)
    assert goes(after=DECLINED_DAYS * DAY, task=remove_old, since=now)
    assert not Brief.objects.exists() and not Picture.objects.exists()


def test_a_brief_that_was_never_answered(joachim):
    brief = a_brief(client=joachim, reference="A1B-2CD", state="sent")
    assert goes(after=UNANSWERED_DAYS * DAY, task=remove_old, since=brief.sent_at)
    assert not Brief.objects.exists() and not Picture.objects.exists()


def test_the_brief_of_a_piece_that_came_to_nothing(joachim, owner):
    piece = open_commission(client=joachim, title="Round", currency="GBP", person=owner)
    a_brief(client=joachim, reference=piece.reference)
    post_message(commission=piece, body="I have thought better of it", from_client=True)
    withdraw(commission=piece, reason="thought better of it", person=owner)
    piece.refresh_from_db()
    assert goes(after=actions.UNAGREED_DAYS * DAY, task=forget_unagreed, since=piece.closed_at)
    assert not Brief.objects.exists() and not Picture.objects.exists()
    assert Message.objects.get().body == actions.NO_WORDS


def test_a_brief_that_was_agreed_upon_stays(told):
    with clock.standing_at(clock.now() + 3000 * DAY):
        assert forget_unagreed() == 0
        assert remove_old() == 0
    assert Brief.objects.exists()


def test_a_way_in_with_nothing_behind_it_goes_with_the_words_of_its_letters(db, joachim):
    access = ClientAccess.objects.create(email="lone@client.example", created_at=clock.now())
    write(name="message-waits", to=access.email, dedupe_key="x", context={"person": "Mabli"})
    Letter.objects.update(state="sent")
    with clock.standing_at(clock.now() + actions.UNAGREED_DAYS * DAY - MINUTE):
        forget_unagreed()
        assert ClientAccess.objects.filter(pk=access.pk).exists()
    with clock.standing_at(clock.now() + actions.UNAGREED_DAYS * DAY + MINUTE):
        forget_unagreed()
    assert list(ClientAccess.objects.all()) == [joachim.access]
    letter = Letter.objects.get()
    assert letter.text == actions.NO_WORDS and "lone" not in letter.to


def test_the_traces_of_a_code(joachim):
    asked = ask_code(door="client", email=joachim.access.email, browser="b")
    assert goes(after=DAY, task=forget_old_codes, since=asked.expires_at)
    assert not OneTimeCode.objects.exists()


@pytest.mark.parametrize(
    "name",
    [
        "studio.people.tasks.make_codes",
        "studio.people.tasks.forget_sessions",
        "commissions.intake.tasks.remove_old",
        "commissions.delivery.tasks.purge_addresses",
        "commissions.pages.keeping.tasks.forget_names",
        "commissions.pages.keeping.tasks.forget_unagreed",
    ],
)
def test_the_sweep_does_it(settings, name, db):
    assert name in settings.SWEEP
    assert import_string(name)() == 0


def test_the_page_says_the_figures_that_are_used(owner, jeweller, client, settings):
    settings.ACCOUNTS_YEARS = 10
    client.force_login(jeweller)
    assert client.get("/studio/house/keeping/").status_code == 403
    client.force_login(owner)
    page = client.get("/studio/house/keeping/").content.decode()
    for words in (
        f"{DRAFT_DAYS} days after they were last touched",
        f"{KEPT_DAYS} days after proof of arrival",
        "10 years after the year of the last entry",
        "ask your accountant",
    ):
        assert words in page
    assert len(schedule.rules()) == page.count("goes by itself") + page.count("stays until you act")


def test_the_number_of_queries_does_not_grow(owner, client):
    def a_wish(number):
        access = ClientAccess.objects.create(email=f"{number}@client.example", created_at=clock.now())
        Erasure.objects.create(access=access, asked_at=clock.now(), asked_by="x")
        Erasure.objects.create(
            access=access, asked_at=clock.now(), asked_by="x", outcome="declined", decided_at=clock.now()
        )

    client.force_login(owner)
    a_wish(0)
    client.get("/studio/house/keeping/")
    with CaptureQueriesContext(connection) as few:
        client.get("/studio/house/keeping/")
    for number in range(1, 30):
        a_wish(number)
    with CaptureQueriesContext(connection) as many:
        client.get("/studio/house/keeping/")
    assert len(many) == len(few)
