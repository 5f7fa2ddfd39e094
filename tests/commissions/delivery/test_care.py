"""The dates of care, and when the client is asked."""

import datetime

import pytest

from commissions.delivery import actions
from commissions.delivery.actions.caring import months_after
from commissions.delivery.models import CareDate
from commissions.delivery.tasks import ask_due_care
from commissions.letters.models import Draft
from commissions.letters.tasks import draft_missing
from commissions.record.models import Commission, Question
from studio import clock
from studio.outbox.models import Letter


def at_noon(day: datetime.date):
    """Noon of a day."""
    return clock.standing_at(datetime.datetime.combine(day, datetime.time(12), datetime.UTC))


def test_a_month_without_the_day_ends_with_its_last():
    assert months_after(datetime.date(2026, 8, 31), 6) == datetime.date(2027, 2, 28)
    assert months_after(datetime.date(2027, 8, 31), 6) == datetime.date(2028, 2, 29)
    assert months_after(datetime.date(2026, 12, 15), 12) == datetime.date(2027, 12, 15)


def test_three_days_thirty_days_half_a_year_a_year(arrived):
    start = clock.today()
    days = list(CareDate.objects.values_list("due_on", flat=True))
    assert days == [
        start + datetime.timedelta(days=3),
        start + datetime.timedelta(days=30),
        months_after(start, 6),
        months_after(start, 12),
    ]


def open_care(commission) -> Question:
    """The one question about care that is open."""
    return Question.objects.get(commission=commission, key__startswith="care:", answered_at=None)


def done(commission, words="All well."):
    """The earliest date of care is done."""
    care = CareDate.objects.filter(commission=commission, done_at=None).first()
    actions.finish_care(care=care, findings=words, by_words="Joachim")
    return care


def test_the_client_is_asked_a_fortnight_before_and_not_months(arrived):
    commission = arrived.commission
    assert open_care(commission).addressee == "client"
    done(commission)
    done(commission)
    care = CareDate.objects.get(pk=open_care(commission).key.split(":")[1])
    waits = open_care(commission)
    assert (waits.addressee, waits.due_on) == ("us", care.due_on - datetime.timedelta(days=14))
    with at_noon(care.due_on - datetime.timedelta(days=15)):
        assert ask_due_care() == 0
    with at_noon(care.due_on - datetime.timedelta(days=14)):
        assert ask_due_care() == 1
        assert ask_due_care() == 0
    asked = open_care(commission)
    assert (asked.addressee, asked.due_on) == ("client", care.due_on)
    commission.refresh_from_db()
    assert commission.turn == "client"


@pytest.mark.parametrize("discreet", [False, True])
def test_the_reminder_has_its_letter(arrived, discreet, settings, tmp_path):
    settings.OUTBOX_DIR = tmp_path / "outbox"
    commission = arrived.commission
    Commission.objects.update(discreet=discreet)
    done(commission)
    done(commission)
    draft_missing()
    care = CareDate.objects.get(pk=open_care(commission).key.split(":")[1])
    assert not Draft.objects.filter(question=open_care(commission)).exists()
    with at_noon(care.due_on - datetime.timedelta(days=14)):
        ask_due_care()
        draft_missing()
    assert Draft.objects.filter(question=open_care(commission)).exists()
    letter = Letter.objects.filter(subject_ref=commission.reference).latest("id")
    assert letter.discreet is discreet
    assert ("claw" in letter.text) is False or not discreet


def test_after_the_last_date_comes_the_next_year(arrived):
    commission = arrived.commission
    for _number in range(3):
        done(commission)
    last = CareDate.objects.filter(done_at=None).get()
    with at_noon(last.due_on):
        done(commission)
    following = CareDate.objects.filter(done_at=None).get()
    assert following.due_on == months_after(last.due_on, 12)
    assert "Yearly" in following.words


def test_a_date_is_done_once(arrived):
    care = done(arrived.commission, "Comfortable.")
    actions.finish_care(care=care, findings="Something else", by_words="Joachim")
    care.refresh_from_db()
    assert care.findings == "Comfortable."
