"""One attempt at a letter: its claim and its three ends, each acting only if exactly one row changed."""

from __future__ import annotations

import datetime
import random
import secrets

from django.conf import settings
from django.db import transaction
from django.db.models import Case, F, Q, Value, When
from django.utils import timezone

from studio import clock
from studio.outbox.actions.addresses import mark_unreachable
from studio.outbox.models import Letter, State, Unreachable
from studio.trail.actions import record as write_trail

FIRST_WAIT = datetime.timedelta(seconds=30)
LONGEST_WAIT = datetime.timedelta(hours=6)
CRASHES_ALLOWED = 6
"""A letter whose sender died this often without a word is a poison: it is put aside and shown."""


def claim(*, pk: int) -> str | None:
    """
    Take one letter to send, in one conditional update; its token, or None where it is not ours to take.

    Effects, in order: a waiting letter whose time has come, or one whose sender's lease has run out,
    becomes leased under a new token; the attempt is counted, and a crash where the lease had run out.
    """
    now = timezone.now()
    token = secrets.token_hex(16)
    waiting = Q(state=State.WAITING, next_at__lte=now)
    abandoned = Q(state=State.LEASED, lease_until__lt=now)
    claimed = Letter.objects.filter(waiting | abandoned, pk=pk).update(
        crashes=F("crashes") + Case(When(state=State.LEASED, then=Value(1)), default=Value(0)),
        state=State.LEASED,
        token=token,
        attempts=F("attempts") + 1,
        lease_until=now + datetime.timedelta(seconds=settings.OUTBOX_LEASE_SECONDS),
    )
    return token if claimed == 1 else None


def free_leases() -> int:
    """
    Let every claimed letter be claimed again at once; how many. For a process that knows it is the only one.

    Effects: the leases end now, so that the next claim counts them as crashes.
    """
    now = timezone.now()
    return Letter.objects.filter(state=State.LEASED, lease_until__gte=now).update(
        lease_until=now - datetime.timedelta(seconds=1)
    )


@transaction.atomic
def finish_sent(*, letter: Letter, forget_words: bool) -> bool:
    """
    Say that the mail server (or the outbox folder) has accepted the letter.

    Effects, in order: the letter is marked sent if the token still is ours; its words are removed where
    they were not to be kept; the address counts as reachable again; the trail says so.
    """
    columns = {"state": State.SENT, "sent_at": clock.now(), "token": "", "lease_until": None, "error": ""}
    if forget_words:
        columns |= {"text": "The words of this letter were removed when it was sent.", "html": ""}
    if Letter.objects.filter(pk=letter.pk, token=letter.token).update(**columns) != 1:
        return False
    Unreachable.objects.filter(email__iexact=letter.to).delete()
    write_trail(
        actor="the outbox",
        verb="letter sent",
        subject=letter.subject_ref or letter.dedupe_key[:60],
        facts={"letter": letter.pk, "kind": letter.kind, "words": letter.words_version},
    )
    return True


def finish_later(*, letter: Letter, error: str) -> bool:
    """
    Put a letter back after a hindrance that may pass.

    Effects, in order: it waits min(6 h, 30 s · 2^n) and some jitter, or is given up where its time is over.
    """
    now = timezone.now()
    wait = min(LONGEST_WAIT, FIRST_WAIT * 2 ** min(letter.attempts - 1, 20))
    next_at = now + wait * random.uniform(0.8, 1.2)  # noqa: S311 - spreads load, keeps no secret
    given_up = next_at >= letter.give_up_at
    return (
        Letter.objects.filter(pk=letter.pk, token=letter.token).update(
            state=State.GIVEN_UP if given_up else State.WAITING,
            next_at=next_at,
            token="",
            lease_until=None,
            error=error[:400],
        )
        == 1
    )


@transaction.atomic
def finish_refused(*, letter: Letter, error: str, address: bool = False, given_up: bool = False) -> bool:
    """
    Put a letter aside for good, until somebody sends it again.

    Effects, in order: the letter is marked refused (or given up) with the reason; where it is the
    *address* that was refused, it is marked unreachable; the trail says so.
    """
    state = State.GIVEN_UP if given_up else State.REFUSED
    changed = Letter.objects.filter(pk=letter.pk, token=letter.token).update(
        state=state, token="", lease_until=None, error=error[:400]
    )
    if changed != 1:
        return False
    if address:
        mark_unreachable(email=letter.to, reason=error)
    write_trail(
        actor="the outbox",
        verb="letter refused",
        subject=letter.subject_ref or letter.dedupe_key[:60],
        facts={"letter": letter.pk, "kind": letter.kind},
    )
    return True
