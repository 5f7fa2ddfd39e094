"""What worries a client, and what we say to it: three plain choices, safety first."""

import datetime

import pytest
from django.db import connection
from django.test import Client as Browser
from django.test.utils import CaptureQueriesContext

from commissions.delivery import actions, queries
from commissions.delivery.models import Advice, Choice, Sign, Worry
from commissions.delivery.safety import ADVICE_WORDS, FIRST
from commissions.letters.models import Draft
from commissions.letters.tasks import draft_missing
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from studio import clock
from tests.commissions.delivery.conftest import photograph, picture
from tests.post import sign_in_client


def worry(commission, sign="loose", words="The stone next to the lowest claw clicks", shades=(1,)):
    """What a client sends."""
    return actions.raise_worry(
        commission=commission,
        sign=sign,
        words=words,
        pictures=[picture(shade) for shade in shades],
        access=commission.client.access,
    )


def question(commission, key) -> Question:
    """The newest question about one matter."""
    return Question.objects.filter(commission=commission, key=key).latest("id")


def test_every_sign_has_a_first_thing_to_do_and_every_choice_its_words():
    assert set(FIRST) == set(Sign.values)
    assert set(ADVICE_WORDS) == set(Choice.values)
    assert all(FIRST[sign].urgent for sign in ("missing", "loose", "claw", "bent"))
    for sign in ("missing", "loose"):
        assert "Take the ring off" in str(FIRST[sign].words) and "bag" in str(FIRST[sign].words)


def test_a_worry_is_a_question_in_whose_turn_and_an_answer_passes_it_on(arrived, jeweller):
    commission = arrived.commission
    row = worry(commission)
    asked = question(commission, f"worry:{row.pk}")
    assert (asked.addressee, asked.blocking) == ("us", True)
    assert asked.due_on == clock.add_working_days(clock.today(), 1)
    commission.refresh_from_db()
    assert commission.turn == "us" and "worries the client" in commission.next_act
    with clock.standing_at(clock.now() + datetime.timedelta(hours=3)):
        actions.advise(worry=row, choice="send", words="A claw is lifted on the left.", person=jeweller)
        asked.refresh_from_db()
        assert asked.answered_at
        passed = question(commission, f"advice:{row.pk}")
        assert (passed.addressee, passed.answered_at) == ("client", None)
        draft_missing()
    assert Draft.objects.filter(question=passed).exists()


def test_a_later_word_counts_and_the_earlier_one_stays(arrived, jeweller):
    row = worry(arrived.commission)
    actions.advise(worry=row, choice="wear", words="It is dirt.", person=jeweller)
    actions.advise(worry=row, choice="nearby", words="On a second look: no.", person=jeweller)
    shown = queries.worry_of(commission=arrived.commission, pk=row.pk)
    assert shown.answer.choice == "nearby"
    assert Advice.objects.count() == 2


def test_a_ring_without_a_stone_is_never_worn_on(arrived, jeweller):
    row = worry(arrived.commission, sign="missing")
    with pytest.raises(Refused, match="not worn on"):
        actions.advise(worry=row, choice="wear", words="Fine.", person=jeweller)
    with pytest.raises(Refused, match="what you see"):
        actions.advise(worry=row, choice="send", words=" ", person=jeweller)
    assert not Advice.objects.exists()


@pytest.mark.parametrize(("choice", "closed"), [("wear", True), ("nearby", True), ("send", False)])
def test_opening_the_answer_is_reading_it(arrived, joachim, jeweller, choice, closed):
    commission = arrived.commission
    row = worry(commission)
    actions.advise(worry=row, choice=choice, words="As I see it.", person=jeweller)
    page = sign_in_client(Browser(), joachim).get(f"/yours/{commission.reference}/care/worry/{row.pk}/")
    assert str(Choice(choice).label) in page.content.decode()
    assert (question(commission, f"advice:{row.pk}").answered_at is not None) is closed


def test_only_of_a_ring_that_is_with_its_wearer(sent):
    with pytest.raises(Refused, match="with its wearer"):
        worry(sent.commission)
    assert not Worry.objects.exists()


def test_the_client_sends_it_from_the_page(arrived, joachim, delphine):
    commission = arrived.commission
    path = f"/yours/{commission.reference}/care/worry/"
    device = sign_in_client(Browser(), joachim)
    empty = device.post(path, {"sign": "snag"})
    assert empty.status_code == 422
    assert "Send a photograph, or say in a few words" in empty.content.decode()
    typed = {
        "sign": "snag",
        "words": "It pulls threads",
        "photos": [photograph("a.jpg"), photograph("b.jpg", 30)],
    }
    answer = device.post(path, typed)
    row = Worry.objects.get()
    assert answer["Location"] == f"{path}{row.pk}/"
    assert [row.sign, row.words, row.photos.count()] == ["snag", "It pulls threads", 2]
    photo = row.photos.first()
    assert (
        sign_in_client(Browser(), delphine)
        .get(f"/yours/{commission.reference}/care/photo/{photo.pk}/320/")
        .status_code
        == 404
    )
    assert device.get(f"/yours/{commission.reference}/care/photo/{photo.pk}/320/").status_code in (200, 503)
    page = device.get(f"{path}{row.pk}/").content.decode()
    assert str(FIRST["snag"].words) in page


def test_a_refused_picture_is_said_beside_its_field_and_what_was_typed_stays(arrived, joachim):
    path = f"/yours/{arrived.commission.reference}/care/worry/"
    broken = photograph("no.jpg").__class__("no.jpg", b"no picture")
    answer = sign_in_client(Browser(), joachim).post(
        path, {"sign": "claw", "words": "On the left", "photos": [photograph("a.jpg"), broken]}
    )
    page = answer.content.decode()
    assert answer.status_code == 422 and "no.jpg" in page and "On the left" in page
    assert not Worry.objects.exists()
    assert arrived.commission.care_photos.count() == 0


def test_the_studio_answers_on_its_page(arrived, jeweller, setter, client):
    commission = arrived.commission
    row = worry(commission)
    path = f"/studio/commissions/{commission.reference}/delivery/worry/{row.pk}/"
    client.force_login(setter)
    assert client.get(path).status_code == 403
    client.force_login(jeweller)
    assert "clicks" in client.get(path).content.decode()
    assert client.post(path, {"words": "x"}).status_code == 422
    assert client.post(path, {"choice": "send", "words": "Send it, please."}).status_code == 302
    assert "Open a small job for it" in client.get(path).content.decode()


@pytest.mark.parametrize("discreet", [False, True])
def test_its_letter_says_nothing_of_a_ring_where_it_is_a_surprise(
    arrived, jeweller, discreet, settings, tmp_path
):
    from commissions.letters.discretion import discreet_words
    from studio.outbox.models import Letter

    settings.OUTBOX_DIR = tmp_path / "outbox"
    Commission.objects.update(discreet=discreet)
    row = worry(Commission.objects.get())
    with clock.standing_at(clock.now() + datetime.timedelta(hours=3)):
        actions.advise(worry=row, choice="nearby", words="A jeweller near you.", person=jeweller)
        draft_missing()
    letter = Letter.objects.filter(subject_ref=row.commission.reference).latest("id")
    assert letter.discreet is discreet
    assert "claw" not in letter.text
    if discreet:
        assert discreet_words(f"{letter.subject}\n{letter.text}\n{letter.html}") == []


def test_the_lists_ask_as_often_for_thirty_as_for_one(arrived, joachim, owner, client):
    commission = arrived.commission
    device = sign_in_client(Browser(), joachim)
    client.force_login(owner)
    ways = [
        (device, f"/yours/{commission.reference}/care/"),
        (client, f"/studio/commissions/{commission.reference}/delivery/care/"),
        (client, "/studio/dispatch/"),
    ]

    def counted():
        found = []
        for browser, path in ways:
            browser.get(path)
            with CaptureQueriesContext(connection) as asked:
                assert browser.get(path).status_code == 200
            found.append(len(asked))
        return found

    row = worry(commission)
    actions.advise(worry=row, choice="wear", words="Fine.", person=owner)
    worry(commission)
    few = counted()
    for number in range(14):
        again = worry(commission, sign="snag", shades=())
        actions.advise(worry=again, choice="wear", words=f"Fine {number}.", person=owner)
        worry(commission, shades=(number,))
    assert commission.worries.count() == 30
    assert counted() == few


def test_a_check_is_logged_with_its_photographs(arrived, jeweller, client):
    commission = arrived.commission
    client.force_login(jeweller)
    path = f"/studio/commissions/{commission.reference}/delivery/care/"
    care = commission.care_dates.first()
    assert client.post(path, {"care": care.pk, "findings": "All tight"}).status_code == 422
    typed = {"care": care.pk, "how": "hand", "findings": "All tight", "photos": [photograph("c.jpg")]}
    assert client.post(path, typed).status_code == 302
    care.refresh_from_db()
    assert (care.how, care.findings, care.done_by, care.photos.count()) == (
        "hand",
        "All tight",
        "Mabli Sandrake",
        1,
    )
    assert client.post(path, {**typed, "photos": [photograph("d.jpg")]}).status_code == 422
    between = {"care": "", "how": "photos", "findings": "Dirt under the halo", "photos": []}
    assert client.post(path, between).status_code == 302
    assert commission.care_dates.filter(words="Check in between", done_at__isnull=False).count() == 1
    assert "Dirt under the halo" in client.get(path).content.decode()
    assert client.post(path, between).status_code == 422


def test_the_client_tells_how_it_is_with_a_photograph(arrived, joachim):
    commission = arrived.commission
    care = commission.care_dates.first()
    device = sign_in_client(Browser(), joachim)
    path = f"/yours/{commission.reference}/care/"
    assert device.post(path, {"care": care.pk, "findings": ""}).status_code == 422
    answer = device.post(path, {"care": care.pk, "findings": "As shown", "photos": [photograph()]})
    assert answer.status_code == 302
    care.refresh_from_db()
    assert (care.how, care.done_by, care.photos.count()) == ("wearer", joachim.full_name, 1)
