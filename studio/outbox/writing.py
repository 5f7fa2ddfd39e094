"""
Writing a letter from its three templates, in the reader's language and zone.

A letter called *name* lives in ``templates/letters/<name>/`` as ``subject.txt``, ``body.txt`` and
``body.html`` (they extend ``letters/base.txt`` and ``letters/base.html``). A discreet letter never takes
those words: it takes ``letters/<name>/discreet/``, or the neutral ``letters/discreet/`` where there is none.
"""

from __future__ import annotations

import datetime
import hashlib
import re
import uuid
import zoneinfo
from dataclasses import dataclass

from django.conf import settings
from django.template import Context
from django.template.loader import select_template
from django.utils import timezone, translation

from studio.outbox import actions
from studio.outbox.models import Letter

PARTS = ("subject.txt", "body.txt", "body.html")
CLIENTS_DOOR = "/yours/"
"""The page a client signs in to; the only address that a letter ever gives."""


@dataclass(frozen=True, kw_only=True)
class Words:
    """What a letter says, rendered."""

    subject: str
    text: str
    html: str
    version: str


def write(
    *,
    name: str,
    to: str,
    context: dict,
    dedupe_key: str,
    subject_ref: str = "",
    discreet: bool = False,
    language: str = "",
    zone: str = "",
    sender_name: str = "",
    reply_to: str = "",
    pictures: list[dict] | None = None,
    headers: dict[str, str] | None = None,
    keep_words: bool = True,
    until: datetime.timedelta | None = None,
) -> Letter:
    """
    Render the letter *name* and put it into the outbox, in the transaction of its cause.

    Args:
        name: folder of its templates under ``templates/letters/``, for example ``sign-in-code``.
        to: the one address it goes to.
        context: what its templates need, over and above those of :func:`render`.
        dedupe_key: the event it announces, for example ``brief:17``; an event has one letter, ever.
        subject_ref: reference of the matter, for threading and the trail.
        discreet: surprise mode: neutral sender, neutral words, no picture.
        language, zone: the reader's; the studio's own where empty.
        headers: further lines of the message's head, for example ``List-Unsubscribe``.
        keep_words: no for a secret such as a one-time code; the words go once they are sent.
        until: how long sending still makes sense (a code: as long as it is good).
    """
    words = render(
        name=name, context=context, subject_ref=subject_ref, discreet=discreet, language=language, zone=zone
    )
    return actions.put(
        kind=name,
        to=to,
        subject=words.subject,
        text=words.text,
        html=words.html,
        dedupe_key=dedupe_key,
        subject_ref=subject_ref,
        discreet=discreet,
        language=language or settings.LANGUAGE_CODE,
        sender_name=sender_name,
        reply_to=reply_to,
        pictures=pictures,
        headers=headers,
        words_version=words.version,
        keep_words=keep_words,
        until=until,
    )


def write_test(*, person) -> Letter:
    """
    Write a letter to somebody of the studio, to see that letters arrive.

    Effects, in order: the letter ``test`` is put into the outbox; whoever sends is woken at commit.
    """
    return write(name="test", to=person.email, context={}, dedupe_key=f"test:{uuid.uuid4().hex}")


def render(
    *,
    name: str,
    context: dict,
    subject_ref: str = "",
    discreet: bool = False,
    language: str = "",
    zone: str = "",
) -> Words:
    """
    The words of a letter without sending it: what a preview shows.

    Every template also knows ``studio_name`` (neutral when discreet), ``sign_in`` (the one link),
    ``reference``, ``discreet``, ``language`` and ``zone``.
    """
    known = {
        "studio_name": settings.DISCREET_NAME if discreet else settings.STUDIO_NAME,
        "sign_in": (settings.DISCREET_ORIGIN if discreet else settings.ORIGIN) + CLIENTS_DOOR,
        "reference": subject_ref,
        "discreet": discreet,
        "language": language or settings.LANGUAGE_CODE,
        "zone": _zone(zone).key,
        **context,
    }
    rendered, sources = {}, hashlib.sha256()
    with translation.override(language or settings.LANGUAGE_CODE), timezone.override(_zone(zone)):
        for part in PARTS:
            names = [f"letters/{name}/{part}"]
            if discreet:
                names = [f"letters/{name}/discreet/{part}", f"letters/discreet/{part}"]
            template = select_template(names).template
            sources.update(template.source.encode())
            # Plain text is not HTML: "Mabli & Ivo" must not reach the reader as "Mabli &amp; Ivo".
            rendered[part] = template.render(Context(known, autoescape=part.endswith(".html")))
    return Words(
        subject=" ".join(rendered["subject.txt"].split())[:200],
        text=_tidy(rendered["body.txt"]),
        html=rendered["body.html"].strip() + "\n",
        version=sources.hexdigest()[:12],
    )


def _zone(name: str) -> zoneinfo.ZoneInfo:
    try:
        return zoneinfo.ZoneInfo(name or settings.TIME_ZONE)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError):
        return zoneinfo.ZoneInfo(settings.TIME_ZONE)


def _tidy(text: str) -> str:
    """Template tags leave blank lines behind; a letter has one between paragraphs."""
    lines = (line.rstrip() for line in text.strip().splitlines())
    return re.sub(r"\n{3,}", "\n\n", "\n".join(lines)) + "\n"
