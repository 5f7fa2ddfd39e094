"""Kind words: asked once, never at the wrong time, public only with consent and from its day on."""

import datetime

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.bench.models import Photo
from commissions.delivery import actions, queries
from commissions.delivery.actions.kind import name_for
from commissions.delivery.models import Consent, KindWords
from commissions.delivery.queries.kind import KEY
from commissions.delivery.tasks import ask_kind_words
from commissions.record.actions import open_commission, post_message
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from studio import clock
from tests.commissions.delivery.conftest import (
    at_handover,
    confirm,
    limit,
    packing,
    photographed,
    picture,
    send,
)
from tests.commissions.delivery.test_worries import worry
from tests.post import sign_in_client


def later(days=46):
    """The clock, so many days on."""
    return clock.standing_at(clock.now() + datetime.timedelta(days=days))


def released(commission, person, caption="Halo, close", shade=9) -> Photo:
    """A photograph that the client has been shown."""
    return Photo.objects.create(
        commission=commission,
        picture=picture(shade),
        caption=caption,
        audience="client",
        released_at=clock.now(),
        at=clock.now(),
        person=person,
    )


def given(commission, **other) -> KindWords:
    """What the client answers."""
    return actions.give_kind_words(
        commission=commission,
        access=commission.client.access,
        **{
            "words": "She never takes it off.",
            "name_form": "first",
            "public": True,
            "photos": [],
            "not_before": None,
        }
        | other,
    )


@pytest.fixture
def asked(arrived):
    """Joachim is asked."""
    with later():
        assert ask_kind_words() == 1
    return arrived.commission


def test_asked_once_and_never_again(arrived):
    with later(44):
        assert ask_kind_words() == 0
    with later():
        assert ask_kind_words() == 1
        assert ask_kind_words() == 0
    question = Question.objects.get(key=KEY)
    assert (question.addressee, question.blocking) == ("client", False)
    with later(46 + 31):
        assert ask_kind_words() == 0
    question.refresh_from_db()
    assert question.answered_at and question.answered_by == "the studio's clock"
    with later(400):
        assert ask_kind_words() == 0
    assert Question.objects.filter(key=KEY).count() == 1


def test_never_of_a_surprise(arrived):
    Commission.objects.update(discreet=True)
    with later():
        assert ask_kind_words() == 0
    Commission.objects.update(discreet=False)
    with later():
        assert ask_kind_words() == 1


def test_never_while_something_is_open(arrived, jeweller, owner):
    commission = arrived.commission
    row = worry(commission)
    with later():
        assert ask_kind_words() == 0
    actions.advise(worry=row, choice="send", words="Send it.", person=jeweller)
    with later():
        assert ask_kind_words() == 0
    job = actions.open_job(ring=commission, work="repair", words="A claw", person=owner, worry=row)
    with later():
        assert ask_kind_words() == 0
    Commission.objects.filter(pk=job.pk).update(stage="care")
    with later():
        post_message(commission=commission, body="And the box is broken", from_client=True)
        assert ask_kind_words() == 0
        post_message(commission=commission, body="We send another", from_client=False, person=owner)
        assert ask_kind_words() == 1


def test_not_before_it_has_arrived(sent):
    with later():
        assert ask_kind_words() == 0


@pytest.mark.parametrize(
    ("form", "name"),
    [("full", "Kiat Lim-Harrowby"), ("first", "Kiat"), ("initials", "K. L. H."), ("none", "")],
)
def test_the_name_is_the_clients_choice(form, name):
    assert name_for(full_name="Kiat Lim-Harrowby", form=form) == name


def test_public_is_what_both_want_and_nothing_else(asked, owner):
    one, two = released(asked, owner, "Halo, close"), released(asked, owner, "From the side", 12)
    row = given(asked, photos=[one.pk])
    public = Browser().get("/kind-words/").content.decode()
    assert "never takes it off" not in public
    actions.show_kind_words(row=row, shown=True, person=owner)
    public = Browser().get("/kind-words/").content.decode()
    assert "never takes it off" in public and "Joachim" in public and "Seelenbrink" not in public
    assert "Halo, close" in public and "From the side" not in public
    assert asked.reference not in public
    assert Browser().get(f"/kind-words/photo/{one.pk}/320/").status_code == 200
    assert Browser().get(f"/kind-words/photo/{two.pk}/320/").status_code == 404
    actions.show_kind_words(row=row, shown=False, person=owner)
    assert "never takes it off" not in Browser().get("/kind-words/").content.decode()
    assert Browser().get(f"/kind-words/photo/{one.pk}/320/").status_code == 404


def test_withdrawing_takes_it_down_at_once(asked, owner, joachim):
    one, two = released(asked, owner), released(asked, owner, "From the side", 12)
    row = given(asked, photos=[one.pk, two.pk])
    actions.show_kind_words(row=row, shown=True, person=owner)
    device = sign_in_client(Browser(), joachim)
    path = f"/yours/{asked.reference}/care/words/"
    device.post(f"{path}consent/", {"photo": one.pk, "given": "no"})
    assert Browser().get(f"/kind-words/photo/{one.pk}/320/").status_code == 404
    assert Browser().get(f"/kind-words/photo/{two.pk}/320/").status_code == 200
    device.post(f"{path}consent/", {"given": "no"})
    assert "never takes it off" not in Browser().get("/kind-words/").content.decode()
    assert Browser().get(f"/kind-words/photo/{two.pk}/320/").status_code == 404
    # Rows only grow: five consents tell the whole story.
    assert Consent.objects.count() == 5
    device.post(f"{path}consent/", {"given": "yes"})
    public = Browser().get("/kind-words/").content.decode()
    assert "From the side" in public and "Halo, close" not in public


def test_not_before_its_day(asked, owner):
    photo = released(asked, owner)
    day = clock.today() + datetime.timedelta(days=60)
    row = given(asked, photos=[photo.pk], not_before=day)
    actions.show_kind_words(row=row, shown=True, person=owner)
    assert queries.public_kind_words() == [] and queries.public_photo(pk=photo.pk) is None
    with clock.standing_at(datetime.datetime.combine(day, datetime.time(12), datetime.UTC)):
        assert len(queries.public_kind_words()) == 1 and queries.public_photo(pk=photo.pk) == photo


def test_for_the_studio_alone(asked, owner):
    photo = released(asked, owner)
    row = given(asked, public=False, photos=[photo.pk])
    actions.show_kind_words(row=row, shown=True, person=owner)
    assert not Consent.objects.exists()
    assert queries.public_kind_words() == [] and queries.public_photo(pk=photo.pk) is None


def test_a_photo_taken_back_is_gone_whatever_was_agreed(asked, owner):
    photo = released(asked, owner)
    row = given(asked, photos=[photo.pk])
    actions.show_kind_words(row=row, shown=True, person=owner)
    Photo.objects.filter(pk=photo.pk).update(removed_at=clock.now())
    assert queries.public_photo(pk=photo.pk) is None
    assert queries.public_kind_words()[0].photos == []


def test_said_once_and_only_where_asked(arrived, owner, delphine):
    with pytest.raises(Refused, match="nothing to answer"):
        given(arrived.commission)
    with later():
        ask_kind_words()
    other = released(open_commission(client=delphine, title="Ring", currency="GBP", person=owner), owner)
    with pytest.raises(Refused, match="not there"):
        given(arrived.commission, photos=[other.pk])
    given(arrived.commission)
    with pytest.raises(Refused):
        given(arrived.commission)
    assert KindWords.objects.count() == 1


def test_the_form_chooses_nothing_beforehand_and_keeps_what_was_typed(asked, owner, joachim):
    photo = released(asked, owner)
    device = sign_in_client(Browser(), joachim)
    path = f"/yours/{asked.reference}/care/words/"
    page = device.get(path).content.decode()
    assert " checked" not in page
    answer = device.post(path, {"words": "Lovely work", "public": "yes", "photos": [photo.pk]})
    page = answer.content.decode()
    assert answer.status_code == 422 and "Choose how you want to be called" in page
    assert "Lovely work" in page and f'value="{photo.pk}" checked' in page
    typed = {"words": "Lovely work", "public": "yes", "name_form": "none", "photos": [photo.pk]}
    assert device.post(path, typed).status_code == 302
    assert KindWords.objects.get().shown_name == ""
    page = device.get(path).content.decode()
    assert "Take my words down" in page and "may be public from" in page


def test_rather_not_is_an_answer(asked, joachim):
    device = sign_in_client(Browser(), joachim)
    path = f"/yours/{asked.reference}/care/words/"
    assert device.post(path, {"decline": "1"}).status_code == 302
    assert not KindWords.objects.exists()
    with later(60):
        assert ask_kind_words() == 0


def test_the_pages_ask_as_often_for_thirty_as_for_one(joachim, owner, client):
    client.force_login(owner)
    limit(owner)
    limit(owner, carrier="Meridian Secure (invented)")

    def another(number):
        row = open_commission(client=joachim, title="Ring", currency="GBP", person=owner)
        at_handover(row, owner)
        confirm(row)
        photographed(row, owner)
        actions.make_ring_record(commission=row, person=owner)
        shipment = send(actions.pack(commission=row, person=owner, **packing()), owner)
        actions.confirm_arrival(shipment=shipment, proof="signed", by_words="Joachim")
        row.refresh_from_db()
        with later():
            ask_kind_words()
        said = given(row, photos=[released(row, owner, shade=number).pk])
        actions.show_kind_words(row=said, shown=True, person=owner)

    def counted():
        found = []
        for browser, path in ((Browser(), "/kind-words/"), (client, "/studio/kind-words/")):
            browser.get(path)
            with CaptureQueriesContext(connection) as asked:
                assert browser.get(path).status_code == 200
            found.append(len(asked))
        return found

    another(0)
    one = counted()
    for number in range(1, 30):
        another(number)
    assert counted() == one
    assert Browser().get("/kind-words/").content.decode().count("never takes it off") == 30


def test_of_an_erased_client_nothing_stays_public_and_their_words_go(
    asked, owner, django_capture_on_commit_callbacks
):
    from django.core.files.storage import storages

    photo = released(asked, owner)
    row = given(asked, photos=[photo.pk])
    actions.show_kind_words(row=row, shown=True, person=owner)
    trouble = worry(asked)
    original = trouble.photos.get().picture.original
    assert storages["originals"].exists(original)
    with django_capture_on_commit_callbacks(execute=True):
        report = actions.forget_words(access=asked.client.access)
    assert not storages["originals"].exists(original)
    assert report == {"worry": 1, "kindwords": 1, "care photographs": 1}
    assert queries.public_kind_words() == [] and queries.public_photo(pk=photo.pk) is None
    row.refresh_from_db()
    trouble.refresh_from_db()
    assert (row.words, row.shown_name, trouble.words) == ("(erased)", "", "(erased)")
