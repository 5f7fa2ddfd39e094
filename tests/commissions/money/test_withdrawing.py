"""The right to withdraw: nowhere unless the studio says so, two steps, a receipt, and over when its day is over."""

import datetime

import pytest
from django.db import DatabaseError, connection, transaction
from django.test import Client as Browser

from commissions.letters.discretion import discreet_words
from commissions.money.actions import withdrawing
from commissions.money.models import Withdrawal
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from studio import clock
from studio.outbox.models import Letter
from studio.trail.models import Entry
from tests.post import sign_in_client

WAY = "Withdraw from the contract"


@pytest.fixture(autouse=True)
def one_factor(settings):
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def right(commission, owner):
    return withdrawing.keep_right(
        commission=commission,
        applies_until=clock.today() + datetime.timedelta(days=14),
        reason="a design alone",
        by=owner,
    )


def path(commission) -> str:
    return f"/yours/{commission.reference}/withdraw/"


def test_without_a_word_of_the_studio_there_is_none(commission, joachim, owner):
    device = sign_in_client(Browser(), joachim)
    assert device.get(path(commission)).status_code == 404
    assert device.post(path(commission), {"name": "J", "sure": "on"}).status_code == 404
    assert WAY not in device.get(f"/yours/{commission.reference}/").content.decode()
    withdrawing.keep_right(
        commission=commission, applies_until=None, reason="made to specification", by=owner
    )
    assert device.get(path(commission)).status_code == 404


def test_it_takes_two_steps_and_gives_a_receipt(right, commission, joachim):
    device = sign_in_client(Browser(), joachim)
    assert WAY in device.get(f"/yours/{commission.reference}/").content.decode()
    assert 'value="Joachim Seelenbrink"' in device.get(path(commission)).content.decode()
    assert "Write your name." in device.post(path(commission), {"name": ""}).content.decode()
    page = device.post(path(commission), {"name": "Joachim Seelenbrink"}).content.decode()
    said = f"I, Joachim Seelenbrink, withdraw from the contract {commission.reference}."
    assert said in page and "Confirm withdrawal" in page
    assert not Withdrawal.objects.exists()
    done = device.post(path(commission), {"name": "Joachim Seelenbrink", "sure": "on"}, follow=True)
    row = Withdrawal.objects.get()
    assert row.words == said and said in done.content.decode()
    letter = Letter.objects.get(kind="withdrawal-received")
    assert said in letter.text and said in letter.html
    assert f"{row.at:%-d %B %Y}" in letter.text
    assert Question.objects.filter(commission=commission, key="money.withdrawal", answered_at=None).exists()
    assert Entry.objects.filter(verb="withdrew from the contract").count() == 1
    # Sent twice, it is declared once.
    device.post(path(commission), {"name": "Joachim Seelenbrink", "sure": "on"})
    assert Withdrawal.objects.count() == Letter.objects.filter(kind="withdrawal-received").count() == 1


def test_its_last_day_counts_and_the_next_does_not(right, commission, joachim):
    last = datetime.datetime.combine(right.applies_until, datetime.time(22, 30), datetime.UTC)
    with clock.standing_at(last):
        assert withdrawing.may_withdraw(commission=commission)
    with clock.standing_at(last + datetime.timedelta(hours=3)):
        assert not withdrawing.may_withdraw(commission=commission)
        with pytest.raises(Refused):
            withdrawing.withdraw_from_contract(
                commission=commission, name="J", words="I", access=joachim.access
            )


def test_a_surprise_stays_one_in_its_receipt(right, commission, joachim):
    Commission.objects.filter(pk=commission.pk).update(discreet=True)
    device = sign_in_client(Browser(), joachim)
    device.post(path(commission), {"name": "J. S.", "sure": "on"})
    letter = Letter.objects.get(kind="withdrawal-received")
    assert letter.discreet and letter.state == "waiting"
    assert discreet_words(f"{letter.subject}\n{letter.text}\n{letter.html}") == []


def test_the_studio_says_it_and_is_the_owner(commission, owner, jeweller, client):
    address = f"/studio/commissions/{commission.reference}/money/withdrawal/"
    client.force_login(jeweller)
    assert client.get(address).status_code == 403
    client.force_login(owner)
    assert "offer none" in client.get(address).content.decode()
    page = client.post(address, {"applies_until": "some day", "reason": ""}).content.decode()
    assert "some day" in page and "Error:" in page
    client.post(address, {"applies_until": "31 12 2099", "reason": "a band from stock"})
    page = client.get(address).content.decode()
    assert "until 31 December 2099" in page and "ask your adviser" in page


def test_what_was_declared_is_never_changed(right, commission, joachim):
    withdrawing.withdraw_from_contract(commission=commission, name="J", words="I", access=joachim.access)
    for table in ("money_withdrawal", "money_withdrawalright"):
        with (
            pytest.raises(DatabaseError, match="only grows"),
            transaction.atomic(),
            connection.cursor() as cursor,
        ):
            cursor.execute(f"UPDATE {table} SET id = id")
