"""What the studio does about a client: the end of a surprise, a forgotten passphrase."""

from __future__ import annotations

import pytest
from django.test import Client as Browser

from commissions.record.actions import open_commission
from commissions.record.errors import Overtaken
from commissions.record.models import Commission
from commissions.record.telling import end_surprise
from studio.people.models import ClientAccess
from tests.post import sign_in_client


@pytest.fixture(autouse=True)
def no_second_factor(settings):
    """Signing in is another room's test."""
    settings.SECOND_FACTOR_REQUIRED = False


@pytest.fixture
def surprise(commission):
    """Joachim's ring as a surprise."""
    Commission.objects.update(discreet=True)
    ClientAccess.objects.update(discreet=True)
    commission.refresh_from_db()
    return commission


def at_work(person):
    device = Browser()
    device.force_login(person)
    return device


def test_letters_stay_neutral_while_another_surprise_is_open(surprise, owner, joachim):
    other = open_commission(client=joachim, title="Pear", currency="GBP", person=owner, discreet=True)
    end_surprise(commission=surprise, person=owner)
    assert ClientAccess.objects.get(pk=joachim.access.pk).discreet
    end_surprise(commission=other, person=owner)
    assert not ClientAccess.objects.get(pk=joachim.access.pk).discreet
    with pytest.raises(Overtaken):
        end_surprise(commission=other, person=owner)


def test_only_the_owner_ends_a_surprise(surprise, owner, jeweller, setter):
    path = f"/studio/commissions/{surprise.reference}/client/"
    assert at_work(setter).get(path).status_code == 403
    assert "Surprise: do not phone" in at_work(jeweller).get(path).content.decode()
    assert at_work(jeweller).post(path, {"told": "1"}).status_code == 403
    assert at_work(owner).post(path, {"told": "1"}).status_code == 302
    surprise.refresh_from_db()
    assert not surprise.discreet


def test_a_passphrase_is_cleared_only_after_a_talk_and_ends_every_device(commission, owner, joachim):
    path = f"/studio/commissions/{commission.reference}/client/"
    device = sign_in_client(Browser(), joachim, stepped_up=True)
    at_work(owner).post(path, {"clear": "1"})
    assert ClientAccess.objects.get(pk=joachim.access.pk).passphrase
    at_work(owner).post(path, {"clear": "1", "spoken": "yes"})
    assert not ClientAccess.objects.get(pk=joachim.access.pk).passphrase
    assert device.get("/yours/").headers["Location"].startswith("/in/")


def test_the_studio_can_sign_a_clients_devices_out(commission, owner, joachim):
    device = sign_in_client(Browser(), joachim)
    at_work(owner).post(f"/studio/commissions/{commission.reference}/client/", {"devices": "1"})
    assert device.get("/yours/").status_code == 302
