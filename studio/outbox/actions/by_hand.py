"""What a person of the studio does with a letter that has gone or has failed."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.db import transaction
from django.utils import timezone

from studio.outbox.actions.addresses import mark_unreachable
from studio.outbox.actions.putting import held_because, telling_words
from studio.outbox.models import FAILED, UNSENT, Letter, State
from studio.outbox.queue import dispatch
from studio.trail.actions import record as write_trail


@transaction.atomic
def send_again(*, letter: Letter, person: object) -> bool:
    """
    Try a letter again that was held back, refused, given up or came back; False where it may not go.

    Effects, in order: a discreet letter takes the house's neutral name and sender of today, and stays held
    while it still has a telling word; otherwise it waits, with its attempts at nought and 48 more hours; the
    trail says so; whoever sends is woken at commit.
    """
    now = timezone.now()
    columns = {}
    if letter.discreet:
        columns = {"sender_name": settings.DISCREET_NAME, "sender": settings.DISCREET_FROM}
        said = (letter.reply_to, letter.subject, letter.text, letter.html, *letter.headers.values())
        telling = telling_words(*columns.values(), *said) + ["a picture"] * bool(letter.pictures)
        if telling:
            Letter.objects.filter(pk=letter.pk, state=State.HELD).update(error=held_because(telling))
            return False
    changed = Letter.objects.filter(pk=letter.pk, state__in=FAILED).update(
        **columns,
        state=State.WAITING,
        attempts=0,
        crashes=0,
        error="",
        next_at=now,
        give_up_at=now + datetime.timedelta(hours=settings.OUTBOX_GIVE_UP_HOURS),
    )
    if changed != 1:
        return False
    write_trail(
        actor=person,
        verb="sent letter again",
        subject=letter.subject_ref or letter.dedupe_key[:60],
        facts={"letter": letter.pk, "kind": letter.kind},
    )
    dispatch(pk=letter.pk)
    return True


@transaction.atomic
def withdraw(*, letter: Letter, reason: str) -> bool:
    """
    Take back a letter that nobody has yet; False where it has gone or is just being sent.

    Effects, in order: the letter is marked withdrawn with the reason, if nobody has claimed it.
    """
    return (
        Letter.objects.filter(pk=letter.pk, state__in=UNSENT).update(
            state=State.WITHDRAWN, error=reason[:400]
        )
        == 1
    )


@transaction.atomic
def came_back(*, letter: Letter, reason: str, person: object) -> bool:
    """
    Record that a letter which had been accepted came back to the studio's mailbox.

    Effects, in order: the letter is marked returned if it was sent; the address is marked unreachable;
    the trail says so.
    """
    changed = Letter.objects.filter(pk=letter.pk, state=State.SENT).update(
        state=State.RETURNED, error=reason[:400]
    )
    if changed != 1:
        return False
    mark_unreachable(email=letter.to, reason=reason)
    write_trail(
        actor=person,
        verb="letter came back",
        subject=letter.subject_ref or letter.dedupe_key[:60],
        facts={"letter": letter.pk, "kind": letter.kind},
    )
    return True
