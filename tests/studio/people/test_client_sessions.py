"""A client's devices, and the passphrase before anything that binds."""

from __future__ import annotations

import datetime

import pytest
from django.http import HttpResponse
from django.test import Client as Browser
from django.test import RequestFactory

from studio import clock
from studio.people.access import SESSION_KEY, client, stepped_up
from studio.people.models import ClientAccess, ClientSession
from studio.people.queries import session_of
from tests.post import PHRASE, sign_in_client


@client
@stepped_up
def binding(request):
    return HttpResponse("bound")


def bind(device):
    """What a binding act answers to this device."""
    request = RequestFactory().post("/yours/V6E-3QJ/agree/")
    request.session = device.session
    return binding(request)


@pytest.fixture
def device(joachim):
    return sign_in_client(Browser(), joachim)


def later(monkeypatch, **ago):
    now = clock.now()
    monkeypatch.setattr(clock, "now", lambda: now + datetime.timedelta(**ago))


def test_looking_is_not_enough_to_bind(device):
    answer = bind(device)
    assert answer.status_code == 302 and "/in/passphrase/?next=" in answer.headers["Location"]


def test_the_passphrase_is_chosen_once_and_asked_again_after_ten_minutes(device, monkeypatch):
    assert device.post("/in/passphrase/", {"phrase": "short"}).status_code == 200
    answer = device.post("/in/passphrase/", {"phrase": PHRASE, "next": "/yours/"})
    assert answer.headers["Location"] == "/yours/"
    assert bind(device).content == b"bound"
    later(monkeypatch, minutes=11)
    assert bind(device).status_code == 302
    assert device.post("/in/passphrase/", {"phrase": PHRASE + "!"}).status_code == 200
    assert bind(device).status_code == 302
    assert device.post("/in/passphrase/", {"phrase": PHRASE}).status_code == 302
    assert bind(device).content == b"bound"


def test_one_device_stepping_up_does_not_help_another(device, joachim):
    device.post("/in/passphrase/", {"phrase": PHRASE})
    other = sign_in_client(Browser(), joachim)
    assert bind(other).status_code == 302


def test_only_a_hash_of_the_passphrase_is_kept_and_none_replaces_it(device, joachim):
    device.post("/in/passphrase/", {"phrase": PHRASE})
    kept = ClientAccess.objects.get(pk=joachim.access.pk).passphrase
    assert PHRASE not in kept and kept.startswith("argon2")
    device.post("/in/passphrase/", {"phrase": "another one that is long"})
    assert ClientAccess.objects.get(pk=joachim.access.pk).passphrase == kept


def test_guessing_the_passphrase_is_slowed_down(device, joachim):
    device.post("/in/passphrase/", {"phrase": PHRASE})
    ClientSession.objects.update(stepped_up_until=None)
    for _try in range(9):
        device.post("/in/passphrase/", {"phrase": "wrong wrong wrong"})
    answer = device.post("/in/passphrase/", {"phrase": PHRASE})
    assert answer.status_code == 200
    assert bind(device).status_code == 302


def test_a_client_sees_and_ends_their_devices_and_nobody_elses(device, joachim, delphine):
    other, hers = sign_in_client(Browser(), joachim), sign_in_client(Browser(), delphine)
    page = device.get("/in/devices/").content.decode()
    assert page.count("Sign out Firefox on Linux") == 2
    her_row = ClientSession.objects.get(access=delphine.access)
    device.post("/in/devices/", {"device": her_row.pk})
    assert hers.get("/in/devices/").status_code == 200
    device.post("/in/devices/", {"others": "1"})
    assert other.get("/in/devices/").status_code == 302
    assert device.get("/in/devices/").status_code == 200


def test_hiding_the_page_ends_the_session_and_shows_nothing(device):
    answer = device.post("/in/out/", {"away": "1"}, follow=True)
    assert answer.redirect_chain[-1][0] == "/away/"
    assert b"ring" not in answer.content.lower().replace(b"rendering", b"")
    assert device.get("/in/devices/").status_code == 302


def test_a_device_that_lies_idle_asks_for_a_new_code(device, monkeypatch):
    later(monkeypatch, minutes=121)
    assert device.get("/in/devices/").status_code == 302


def test_the_key_changes_in_use_and_the_old_one_dies_a_minute_later(device, monkeypatch):
    old = device.session[SESSION_KEY]
    later(monkeypatch, minutes=31)
    assert device.get("/in/devices/").status_code == 200
    new = device.session[SESSION_KEY]
    assert new != old
    assert session_of(key=new) and session_of(key=old)  # requests that were under way
    later(monkeypatch, minutes=2)
    assert session_of(key=new) and session_of(key=old) is None


def test_the_key_itself_is_kept_nowhere(device):
    assert device.session[SESSION_KEY] not in str(list(ClientSession.objects.values()))
