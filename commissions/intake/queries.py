"""Reads about briefs and clients."""

from __future__ import annotations

import hashlib
import json

from django.db.models import Count

from commissions.intake.forms import BY_SLUG, GROUPS, QUESTIONS
from commissions.intake.models import Brief, BriefPicture, Client, State
from studio import clock
from studio.people.models import ClientAccess
from studio.people.queries import hashed


def draft_of(*, token: str) -> Brief | None:
    """The brief that a browser is writing with this key, if it is still a draft and not past its time."""
    if not token:
        return None
    return Brief.objects.filter(
        token_hash=hashed(token), state=State.DRAFT, expires_at__gt=clock.now()
    ).first()


def sent_with(*, token: str) -> Brief | None:
    """The brief that a browser sent with this key."""
    if not token:
        return None
    return Brief.objects.filter(token_hash=hashed(token)).exclude(state=State.DRAFT).first()


def newest_draft(*, email: str) -> Brief | None:
    """The draft last touched that was kept under this address."""
    return (
        Brief.objects.filter(email=email.strip().lower(), state=State.DRAFT, expires_at__gt=clock.now())
        .order_by("-touched_at", "-id")
        .first()
    )


def back_letter(*, email: str) -> dict | None:
    """How a letter to the writer of a kept draft has to read; None where nothing is kept there."""
    brief = newest_draft(email=email)
    return None if brief is None else {"language": brief.language, "discreet": brief.discreet}


send_letter = back_letter
"""The letter that proves an address before a brief is sent follows the same draft."""


def brief_by_reference(*, reference: str) -> Brief | None:
    """The sent brief with this reference, with its pictures."""
    return (
        Brief.objects.exclude(state=State.DRAFT)
        .filter(reference=reference)
        .prefetch_related("pictures__picture")
        .first()
    )


def waiting_briefs():
    """Briefs that wait for our answer, the one due first at the top."""
    return Brief.objects.filter(state=State.SENT).order_by("reply_due_on", "id")


def closed_briefs(*, before: int | None = None, size: int = 50):
    """Briefs answered or declined, newest first, a page at a time by key."""
    rows = Brief.objects.filter(state__in=[State.ANSWERED, State.DECLINED]).order_by("-id")
    if before:
        rows = rows.filter(id__lt=before)
    return rows[:size]


def with_picture_counts(rows):
    """The same briefs, each with the number of its pictures."""
    return rows.annotate(picture_count=Count("pictures"))


def briefs_of(*, access: ClientAccess):
    """Briefs that this client sent from their proven address, newest first."""
    return Brief.objects.filter(email=access.email).exclude(state=State.DRAFT).order_by("-id")


def client_of(*, access: ClientAccess) -> Client | None:
    """The client behind this way in, if a commission of theirs was ever opened."""
    return Client.objects.filter(access=access).first()


def picture_of(*, brief: Brief, pk: int) -> BriefPicture | None:
    """One picture of a brief."""
    return BriefPicture.objects.select_related("picture").filter(brief=brief, pk=pk).first()


def missing(*, brief: Brief) -> list[str]:
    """Slugs of the questions that have no answer yet, in order."""
    return [question.slug for question in QUESTIONS if question.slug not in brief.answers]


def said(*, brief: Brief, leave_out: tuple[str, ...] = ()) -> list[dict]:
    """The answers in words, grouped as the check page, the copy and the studio read them."""
    today = clock.today()
    groups = []
    for name, questions in GROUPS:
        rows = [
            {
                "slug": question.slug,
                "short": question.short,
                "words": question.words(brief.answer(question.slug))
                if question.slug in brief.answers
                else "",
                "note": question.note(brief.answer(question.slug), today=today),
            }
            for question in questions
            if question.slug not in leave_out
        ]
        groups.append({"name": name, "rows": rows})
    return groups


def note_before(*, brief: Brief | None, slug: str) -> str:
    """How we read the answer just before this question; empty where there is nothing to say."""
    place = [question.slug for question in QUESTIONS].index(slug)
    if brief is None or place == 0:
        return ""
    before = QUESTIONS[place - 1]
    return before.note(brief.answer(before.slug), today=clock.today()) if before.slug in brief.answers else ""


def digest_of(*, brief: Brief) -> str:
    """SHA-256 over the canonical JSON of the answers and of every picture with its words."""
    pictures = [
        [row.picture.sha256, row.liked, row.not_this]
        for row in brief.pictures.select_related("picture").order_by("id")
    ]
    body = json.dumps(
        [brief.schema, brief.answers, brief.answered_at, pictures],
        ensure_ascii=False,
        sort_keys=True,
        separators=(",", ":"),
    )
    return hashlib.sha256(body.encode()).hexdigest()


def stands_as_sent(*, brief: Brief) -> bool:
    """Whether a sent brief's answers and pictures still are what its digest was taken of."""
    return bool(brief.digest) and digest_of(brief=brief) == brief.digest


def question(*, slug: str):
    """The question with this slug, or None."""
    return BY_SLUG.get(slug)
