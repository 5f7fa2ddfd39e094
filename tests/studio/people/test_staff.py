"""How the studio's people come in, and how they are let go."""

import base64
import datetime

import pytest
from django.core.exceptions import ValidationError
from django.core.management import CommandError, call_command
from django.urls import reverse
from django_otp.oath import totp
from django_otp.plugins.otp_totp.models import TOTPDevice

from studio.people.actions import staff
from studio.people.models import Person, RecoveryCode, Role
from tests.cast import PASSWORD

SIGN_IN = "/studio/sign-in/"


def sign_in(client, email, password=PASSWORD, **more):
    return client.post(SIGN_IN, {"email": email, "password": password, **more})


def with_device(person) -> TOTPDevice:
    return TOTPDevice.objects.create(user=person, name="authenticator", confirmed=True)


def code_of(device) -> str:
    return f"{totp(device.bin_key, step=device.step, t0=device.t0, digits=device.digits):06d}"


def test_the_right_password_opens_and_a_wrong_one_says_nothing_of_the_address(client, owner, settings):
    settings.SECOND_FACTOR_REQUIRED = False
    wrong = sign_in(client, owner.email, "not this one, certainly")
    unknown = sign_in(client, "nobody@studio.example", "not this one, certainly")
    words = "The address and the password do not go together."
    assert words in wrong.content.decode()
    assert words in unknown.content.decode()
    assert sign_in(client, owner.email.upper()).headers["Location"] == "/studio/"


def test_one_signs_in_over_another_on_a_phone_that_two_share(client, owner, jeweller, settings):
    settings.SECOND_FACTOR_REQUIRED = False
    for person in (owner, jeweller):
        assert sign_in(client, person.email).status_code == 302
    assert client.get("/studio/").wsgi_request.user == jeweller


def test_guessing_is_slowed_down(client, owner):
    for _ in range(8):
        sign_in(client, owner.email, "a wrong guess again")
    page = sign_in(client, owner.email)
    assert "Wait a quarter of an hour" in page.content.decode()


def test_no_address_outside_the_house_is_followed_after_sign_in(client, owner):
    assert sign_in(client, owner.email, next="https://elsewhere.example/").headers["Location"] == "/studio/"


def test_without_the_second_factor_no_page_opens(client, owner):
    with_device(owner)
    sign_in(client, owner.email)
    assert client.get("/studio/").headers["Location"].startswith("/studio/second-factor/")
    assert client.get("/studio/people/").status_code == 302


def test_the_second_factor_is_set_up_at_the_first_visit_and_its_codes_work_once(client, owner):
    sign_in(client, owner.email)
    page = client.get("/studio/second-factor/").content.decode()
    assert "<svg" in page
    device = TOTPDevice.objects.get(user=owner)
    assert base64.b32encode(device.bin_key).decode().rstrip("=")[:4] in page
    refused = client.post("/studio/second-factor/", {"code": "000000"})
    assert "does not fit" in refused.content.decode() or refused.status_code == 200
    TOTPDevice.objects.filter(pk=device.pk).update(
        throttling_failure_count=0, throttling_failure_timestamp=None
    )
    shown = client.post("/studio/second-factor/", {"code": code_of(device)}).content.decode()
    codes = [line.split("</code>")[0] for line in shown.split("<code>")[1:]]
    assert len(codes) == 10
    assert client.get("/studio/").status_code == 200
    assert RecoveryCode.objects.filter(code_hash__in=codes).count() == 0  # only hashes are kept
    assert staff.use_recovery_code(person=owner, typed=codes[0].upper())
    assert not staff.use_recovery_code(person=owner, typed=codes[0])


def test_a_code_of_the_authenticator_is_not_taken_twice(client, owner):
    device = with_device(owner)
    sign_in(client, owner.email)
    code = code_of(device)
    assert client.post("/studio/second-factor/", {"code": code}).status_code == 302
    client.post("/studio/sign-out/")
    sign_in(client, owner.email)
    assert "does not fit" in client.post("/studio/second-factor/", {"code": code}).content.decode()


def test_whoever_leaves_is_out_at_once_everywhere(client, owner, jeweller, settings):
    settings.SECOND_FACTOR_REQUIRED = False
    client.force_login(jeweller)
    assert client.get("/studio/").status_code == 200
    with_device(jeweller)
    staff.let_go(person=jeweller, by=owner)
    assert client.get("/studio/").status_code == 302
    assert not TOTPDevice.objects.filter(user=jeweller).exists()
    assert "do not go together" in sign_in(client, jeweller.email).content.decode()


def test_the_last_owner_cannot_be_let_go(owner):
    with pytest.raises(staff.StillNeeded):
        staff.let_go(person=owner, by=owner)


@pytest.mark.parametrize("password", ["short", "password1234", "ottoline brackwater"])
def test_a_weak_password_is_refused(db, password):
    with pytest.raises(ValidationError):
        staff.add_person(
            email="o@studio.example",
            full_name="Ottoline Brackwater",
            role=Role.OWNER,
            password=password,
            by="test",
        )
    assert Person.objects.count() == 0


def test_a_new_password_ends_the_other_devices(client, owner, settings):
    settings.SECOND_FACTOR_REQUIRED = False
    client.force_login(owner)
    staff.change_password(person=owner, password="seven herons in the shallows")
    assert client.get("/studio/").status_code == 302


def test_only_the_owner_sees_people_and_adds_them(client, owner, jeweller, settings):
    settings.SECOND_FACTOR_REQUIRED = False
    client.force_login(jeweller)
    assert client.get(reverse("people:people")).status_code == 403
    client.force_login(owner)
    page = client.post(
        reverse("people:people"),
        {"full_name": "Ivo Thornquill", "email": "ivo@studio.example", "role": "setter", "password": "short"},
    ).content.decode()
    assert "Ivo Thornquill" in page  # what was typed stays
    assert "at least 12" in page
    client.post(
        reverse("people:people"),
        {
            "full_name": "Ivo Thornquill",
            "email": "ivo@studio.example",
            "role": "setter",
            "password": PASSWORD,
        },
    )
    assert Person.objects.get(email="ivo@studio.example").role == "setter"


def test_the_first_owner_comes_from_the_environment_and_only_once(db, monkeypatch, capsys):
    monkeypatch.setenv("RINGWRIGHT_OWNER_NAME", "Ottoline Brackwater")
    monkeypatch.setenv("RINGWRIGHT_OWNER_EMAIL", "Ottoline@Studio.example")
    monkeypatch.setenv("RINGWRIGHT_OWNER_PASSWORD", "short")
    with pytest.raises(CommandError):
        call_command("first_owner")
    monkeypatch.setenv("RINGWRIGHT_OWNER_PASSWORD", PASSWORD)
    call_command("first_owner")
    call_command("first_owner")
    assert Person.objects.get().email == "ottoline@studio.example"
    assert Person.objects.get().joined_at <= datetime.datetime.now(tz=datetime.UTC)
