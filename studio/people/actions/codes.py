"""
One-time codes: asked for at a page, made by the sweep, redeemed once.

The page that takes the request does the same for every address: it writes one row. Whether the address is
known is looked up afterwards, by the sweep, so that neither the answer nor its time tells a
stranger anything.
"""

from __future__ import annotations

import datetime
import secrets

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.urls import reverse
from django.utils.module_loading import import_string

from studio import clock
from studio.outbox.queue import nudge
from studio.outbox.writing import write
from studio.people.models import OneTimeCode
from studio.people.queries import hashed, hashed_short, newest_of_browser

TRIES = 5
SHORT_DIGITS = 8


@transaction.atomic
def ask_code(*, door: str, email: str, browser: str) -> OneTimeCode:
    """
    Ask for a code for *door* to be sent to *email*.

    Effects, in order: the request is written; the sweep is nudged, which makes the code and writes
    the letter.

    Args:
        door: A key of ``settings.CODE_DOORS``.
        email: The address as typed.
        browser: The secret of the asking browser's session, to which the short code will be bound.
    """
    now = clock.now()
    asked = OneTimeCode.objects.create(
        door=door,
        email=email.strip().lower(),
        browser_hash=hashed(browser),
        asked_at=now,
        expires_at=now + datetime.timedelta(minutes=settings.SIGN_IN_CODE_MINUTES),
    )
    nudge()
    return asked


def answer_asked() -> int:
    """Make the codes that were asked for; how many requests were answered, known addresses or not."""
    waiting = OneTimeCode.objects.filter(made_at__isnull=True).order_by("id").values_list("pk", flat=True)
    return sum(make_code(pk=pk) for pk in list(waiting[:200]))


@transaction.atomic
def make_code(*, pk: int) -> bool:
    """
    Answer one request; False where another worker has it.

    Effects, in order: the request is claimed; where its door knows the address, the address's earlier codes
    for this door end, the hashes of a new code are kept, and the letter is written.
    """
    now = clock.now()
    if OneTimeCode.objects.filter(pk=pk, made_at__isnull=True).update(made_at=now) != 1:
        return False
    asked = OneTimeCode.objects.get(pk=pk)
    door = settings.CODE_DOORS[asked.door]
    known = import_string(door["knows"])(email=asked.email) if asked.expires_at > now else None
    if known is None:
        return True
    OneTimeCode.objects.filter(
        door=asked.door, email=asked.email, used_at__isnull=True, expires_at__gt=now
    ).exclude(pk=pk).update(expires_at=now)
    token = secrets.token_urlsafe(32)
    short = "".join(secrets.choice("0123456789") for _ in range(SHORT_DIGITS))
    OneTimeCode.objects.filter(pk=pk).update(
        token_hash=hashed(token), short_hash=hashed_short(short=short, browser_hash=asked.browser_hash)
    )
    origin = settings.DISCREET_ORIGIN if known["discreet"] else settings.ORIGIN
    write(
        name=door["letter"],
        to=asked.email,
        dedupe_key=f"code:{pk}",
        language=known["language"],
        discreet=known["discreet"],
        keep_words=False,
        until=asked.expires_at - now,
        context={
            "link": origin + reverse(door["way"], args=[token]),
            "code": f"{short[:4]} {short[4:]}",
            "minutes": settings.SIGN_IN_CODE_MINUTES,
        },
    )
    return True


def redeem_token(*, door: str, token: str) -> OneTimeCode | None:
    """The code whose link was posted, used up by this call alone; None where it opens nothing (any more)."""
    return _use(OneTimeCode.objects.filter(door=door, token_hash=hashed(token)))


def redeem_short(*, door: str, browser: str, typed: str) -> OneTimeCode | None:
    """
    The code that *browser* asked for last, if *typed* is its short form; used up by this call alone.

    Effects, in order: one of five tries is counted; the code is marked used.
    """
    asked = newest_of_browser(door=door, browser=browser)
    if asked is None:
        return None
    counted = OneTimeCode.objects.filter(pk=asked.pk, tries__lt=TRIES).update(tries=F("tries") + 1)
    digits = "".join(character for character in typed if character.isdigit())
    expected = hashed_short(short=digits, browser_hash=asked.browser_hash)
    if counted != 1 or not asked.short_hash or not secrets.compare_digest(asked.short_hash, expected):
        return None
    return _use(OneTimeCode.objects.filter(pk=asked.pk))


def _use(codes) -> OneTimeCode | None:
    code = codes.first()
    if code is None:
        return None
    now = clock.now()
    used = codes.filter(pk=code.pk, used_at__isnull=True, expires_at__gt=now).update(used_at=now)
    return code if used == 1 else None


def forget_old_codes() -> int:
    """Remove requests that ended more than a day ago; how many there were."""
    before = clock.now() - datetime.timedelta(days=1)
    return OneTimeCode.objects.filter(expires_at__lt=before).delete()[0]
