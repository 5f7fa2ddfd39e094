"""Putting a letter into the outbox, in the transaction of its cause."""

from __future__ import annotations

import datetime
import secrets

from django.conf import settings
from django.db import transaction
from django.utils import timezone
from django.utils.module_loading import import_string

from studio import clock
from studio.outbox.models import Letter, State
from studio.outbox.queue import dispatch


@transaction.atomic
def put(
    *,
    kind: str,
    to: str,
    subject: str,
    text: str,
    dedupe_key: str,
    html: str = "",
    subject_ref: str = "",
    sender_name: str = "",
    reply_to: str = "",
    pictures: list[dict] | None = None,
    headers: dict[str, str] | None = None,
    discreet: bool = False,
    language: str = "",
    words_version: str = "",
    keep_words: bool = True,
    until: datetime.timedelta | None = None,
) -> Letter:
    """
    Write a letter, in the transaction of its cause.

    Effects, in order: where this event already has its letter, that one is returned and nothing happens;
    a discreet letter is read for words that would give the secret away and is held back if it has any;
    the letter is written, threaded under the first one about the same matter to the same address;
    whoever sends is woken at commit.

    *until* is how long trying makes sense (48 hours unless said). A letter with ``keep_words=False``
    (a one-time code) loses its words once it is sent.
    """
    known = Letter.objects.filter(dedupe_key=dedupe_key).first()
    if known is not None:
        return known
    now = timezone.now()
    name = sender_name or (settings.DISCREET_NAME if discreet else settings.STUDIO_NAME)
    sender = settings.DISCREET_FROM if discreet else settings.LETTER_FROM
    shown = (name, sender, reply_to, subject, text, html, *(headers or {}).values())
    given_away = telling_words(*shown) if discreet else []
    if discreet and pictures:
        given_away.append("a picture")
    root = ""
    if subject_ref:
        first = Letter.objects.filter(subject_ref=subject_ref, to=to).order_by("id").values_list("message_id")
        root = next(iter(first[:1]), ("",))[0]
    letter, made = Letter.objects.get_or_create(
        dedupe_key=dedupe_key,
        defaults={
            "kind": kind,
            "to": to,
            "subject": subject,
            "text": text,
            "html": html,
            "subject_ref": subject_ref,
            "sender_name": name,
            "sender": sender,
            "reply_to": reply_to,
            "pictures": pictures or [],
            "headers": headers or {},
            "discreet": discreet,
            "language": language,
            "words_version": words_version,
            "keep_words": keep_words,
            "message_id": f"<{secrets.token_hex(16)}@{sender.rpartition('@')[2] or settings.LETTER_DOMAIN}>",
            "thread_root": root,
            "state": State.HELD if given_away else State.WAITING,
            "error": held_because(given_away) if given_away else "",
            "next_at": now,
            "created_at": clock.now(),
            "give_up_at": now + (until or datetime.timedelta(hours=settings.OUTBOX_GIVE_UP_HOURS)),
        },
    )
    if made and letter.state == State.WAITING:
        dispatch(pk=letter.pk)
    return letter


def telling_words(*parts: str) -> list[str]:
    """What in a discreet letter would give the secret away."""
    # The house knows no trade: which words those are is the word guard's to say.
    guard = import_string(settings.DISCREET_GUARD)
    return [word for part in parts for word in guard(part)]


def held_because(telling: list[str]) -> str:
    """Why a letter is held back, in words."""
    return f"Would give the surprise away: {', '.join(dict.fromkeys(telling))}."[:400]
