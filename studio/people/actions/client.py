"""Writes about a client's way in: their sessions, their passphrase."""

from __future__ import annotations

import datetime
import secrets

from django.conf import settings
from django.contrib.auth.hashers import make_password
from django.contrib.auth.password_validation import validate_password
from django.db import transaction

from studio import clock
from studio.people.models import ClientAccess, ClientSession
from studio.people.queries import device_words, hashed
from studio.trail.actions import record as write_trail

SEEN_EVERY = datetime.timedelta(minutes=1)


@transaction.atomic
def begin_session(*, access: ClientAccess, agent: str, zone: str = "") -> str:
    """
    Begin a session of a client on one device and return its key, of which only the hash is kept.

    Effects, in order: the session is written; the client's zone is kept where the browser named one; the
    trail says so.
    """
    key, now = secrets.token_urlsafe(32), clock.now()
    ClientSession.objects.create(
        access=access,
        key_hash=hashed(key),
        device=device_words(agent),
        began_at=now,
        seen_at=now,
        changed_at=now,
    )
    if zone and zone != access.zone:
        ClientAccess.objects.filter(pk=access.pk).update(zone=zone)
    write_trail(actor=f"client:{access.pk}", verb="came in", subject=f"client:{access.pk}")
    return key


def keep_session(*, session: ClientSession) -> str | None:
    """
    Note that a session is in use; a new key where the present one has been carried long enough.

    Effects, in order: at most once a minute the time is kept; every CLIENT_KEY_MINUTES the key is changed,
    by a conditional update, so that two requests at once change it once. The old key stays good for a minute.
    """
    now = clock.now()
    if now - session.changed_at >= datetime.timedelta(minutes=settings.CLIENT_KEY_MINUTES):
        key = secrets.token_urlsafe(32)
        changed = ClientSession.objects.filter(
            pk=session.pk, key_hash=session.key_hash, changed_at=session.changed_at
        ).update(key_hash=hashed(key), previous_hash=session.key_hash, changed_at=now, seen_at=now)
        return key if changed == 1 else None
    if now - session.seen_at >= SEEN_EVERY:
        ClientSession.objects.filter(pk=session.pk).update(seen_at=now)
    return None


def end_session(*, access: ClientAccess, pk: int) -> bool:
    """End one session of this client; False where it is not theirs or has ended."""
    ended = ClientSession.objects.filter(pk=pk, access=access, ended_at__isnull=True).update(
        ended_at=clock.now()
    )
    return ended == 1


@transaction.atomic
def end_other_sessions(*, access: ClientAccess, keep: ClientSession | None = None) -> int:
    """
    End every session of a client except *keep*; how many there were.

    Effects, in order: the sessions are marked ended; the trail says so.
    """
    others = ClientSession.objects.filter(access=access, ended_at__isnull=True)
    if keep is not None:
        others = others.exclude(pk=keep.pk)
    ended = others.update(ended_at=clock.now())
    if ended:
        write_trail(
            actor=f"client:{access.pk}",
            verb="ended devices",
            subject=f"client:{access.pk}",
            facts={"ended": ended},
        )
    return ended


@transaction.atomic
def choose_passphrase(*, access: ClientAccess, session: ClientSession, phrase: str) -> bool:
    """
    Keep the passphrase a client chooses at their first visit; False where one stands already.

    Effects, in order: the rules are checked; the phrase's hash is kept, only if there was none; this session
    counts as stepped up; the trail says so.

    Raises:
        ValidationError: the phrase is too short or too common.
    """
    validate_password(phrase)
    if ClientAccess.objects.filter(pk=access.pk, passphrase="").update(passphrase=make_password(phrase)) != 1:
        return False
    _step_up(session=session)
    write_trail(actor=f"client:{access.pk}", verb="chose a passphrase", subject=f"client:{access.pk}")
    return True


@transaction.atomic
def step_up(*, access: ClientAccess, session: ClientSession, phrase: str) -> bool:
    """
    Let a client who knows their passphrase do binding acts for a few minutes; False where it does not fit.

    Effects, in order: the phrase is compared; this session counts as stepped up; the trail says so.
    """
    if not access.passphrase_fits(phrase):
        return False
    _step_up(session=session)
    write_trail(actor=f"client:{access.pk}", verb="gave the passphrase", subject=f"client:{access.pk}")
    return True


def _step_up(*, session: ClientSession) -> None:
    until = clock.now() + datetime.timedelta(minutes=settings.STEP_UP_MINUTES)
    ClientSession.objects.filter(pk=session.pk).update(stepped_up_until=until)


@transaction.atomic
def forget_passphrase(*, access: ClientAccess, by: object) -> None:
    """
    Let a client choose anew, after the studio has spoken with them by a second channel.

    Effects, in order: the hash is removed; all their sessions end, so that a new code is needed; the
    trail says so.
    """
    ClientAccess.objects.filter(pk=access.pk).update(passphrase="")
    ClientSession.objects.filter(access=access, ended_at__isnull=True).update(ended_at=clock.now())
    write_trail(actor=by, verb="cleared a passphrase", subject=f"client:{access.pk}")
