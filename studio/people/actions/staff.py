"""Writes about the people of the studio."""

from __future__ import annotations

from django.conf import settings
from django.contrib.auth.password_validation import validate_password
from django.db import transaction
from django_otp.plugins.otp_totp.models import TOTPDevice

from studio import clock
from studio.people.actions.sessions import end_sessions
from studio.people.leaving import end_ways_of, holdings_of
from studio.people.models import Person, RecoveryCode, Role, TakenOver
from studio.people.queries import hashed
from studio.trail.actions import record as write_trail


class StillNeeded(Exception):
    """The studio would be left without an owner, or nobody who is here takes over."""


class StillHolds(Exception):
    """Something of the studio's is in their hands."""


@transaction.atomic
def add_person(*, email: str, full_name: str, role: str, password: str, by: object) -> Person:
    """
    Add a person to the studio.

    Effects, in order: the password is checked against the rules; the person is written; the trail says so.

    Raises:
        ValidationError: the password is too short, too common or like the name.
    """
    person = Person(
        email=email.strip().lower(), full_name=full_name.strip(), role=role, joined_at=clock.now()
    )
    validate_password(password, person)
    person.set_password(password)
    person.save()
    write_trail(actor=by, verb="added a person", subject=f"person:{person.pk}", facts={"role": role})
    return person


@transaction.atomic
def change_password(*, person: Person, password: str) -> None:
    """
    Give a person a new password.

    Effects, in order: the rules are checked; the password is changed; every session of theirs ends.

    Raises:
        ValidationError: the password is too short, too common or like the name.
    """
    validate_password(password, person)
    person.set_password(password)
    person.save(update_fields=["password"])
    write_trail(actor=person, verb="changed their password", subject=f"person:{person.pk}")


@transaction.atomic
def let_go(*, person: Person, by: Person) -> list[str]:
    """
    End a person's access; what else ended with it, in words.

    Effects, in order: the person is made inactive (only if they still were active); their sessions and
    second factors are removed; the links and keys that they gave out end; the trail says so.

    Raises:
        StillNeeded: they are the last owner.
        StillHolds: stones, metal or work are in their hands, and nobody has taken them over.
    """
    owners = Person.objects.filter(role=Role.OWNER, is_active=True).exclude(pk=person.pk)
    if person.role == Role.OWNER and not owners.exists():
        raise StillNeeded
    if holdings_of(person=person):
        raise StillHolds
    changed = Person.objects.filter(pk=person.pk, is_active=True).update(is_active=False, left_at=clock.now())
    if not changed:
        return []
    ended = end_sessions(person=person)
    TOTPDevice.objects.filter(user=person).delete()
    RecoveryCode.objects.filter(person=person).delete()
    also = end_ways_of(person=person, by=by)
    write_trail(
        actor=by,
        verb="ended access",
        subject=f"person:{person.pk}",
        facts={"sessions": ended, "also ended": also},
    )
    return also


@transaction.atomic
def take_over(*, person: Person, key: str, to: Person, by: Person) -> None:
    """
    Note who has taken over what somebody held who leaves.

    Effects, in order: the note is written, once for each thing; the trail says so.

    Raises:
        StillNeeded: whoever takes over is not here, or is the one who leaves.
        LookupError: they hold no such thing (any more).
    """
    if not to.is_active or to.pk == person.pk:
        raise StillNeeded
    held = next((row for row in holdings_of(person=person) if row.key == key and key), None)
    if held is None:
        raise LookupError(key)
    TakenOver.objects.create(
        person=person, to=to, key=key, words=held.words, by_words=str(by), at=clock.now()
    )
    write_trail(
        actor=by,
        verb="noted a handing over",
        subject=f"person:{person.pk}",
        facts={"what": held.words, "to": str(to)},
    )


def begin_second_factor(*, person: Person) -> TOTPDevice:
    """The person's unconfirmed authenticator, made once and shown until it is confirmed."""
    device = TOTPDevice.objects.filter(user=person, confirmed=False).first()
    return device or TOTPDevice.objects.create(user=person, name="authenticator", confirmed=False)


@transaction.atomic
def confirm_second_factor(*, person: Person, device: TOTPDevice, typed: str) -> list[str] | None:
    """
    Confirm an authenticator by its first code; None where the code does not fit.

    Effects, in order: the device is confirmed and any older one removed; ten recovery codes are made,
    of which only hashes are kept; the trail says so. The codes are returned, to be shown once.
    """
    if not device.verify_token(typed.replace(" ", "")):
        return None
    TOTPDevice.objects.filter(user=person).exclude(pk=device.pk).delete()
    TOTPDevice.objects.filter(pk=device.pk).update(confirmed=True)
    codes = [RecoveryCode.new_code() for _ in range(10)]
    RecoveryCode.objects.filter(person=person).delete()
    RecoveryCode.objects.bulk_create(RecoveryCode(person=person, code_hash=hashed(code)) for code in codes)
    write_trail(actor=person, verb="set up a second factor", subject=f"person:{person.pk}")
    return codes


def use_recovery_code(*, person: Person, typed: str) -> bool:
    """Whether *typed* is an unused recovery code; it is used up by this call alone."""
    code = typed.strip().lower().replace(" ", "").replace("-", "")
    used = RecoveryCode.objects.filter(person=person, code_hash=hashed(code), used_at__isnull=True).update(
        used_at=clock.now()
    )
    if used:
        write_trail(actor=person, verb="used a recovery code", subject=f"person:{person.pk}")
    return used == 1


def second_factor_needed() -> bool:
    """Whether staff must show a second factor in this house."""
    return settings.SECOND_FACTOR_REQUIRED
