"""Writes of a client who is writing a brief."""

from __future__ import annotations

import datetime
import secrets

from django.conf import settings
from django.db import transaction
from django.db.models import Q
from django.urls import reverse
from django.utils.translation import gettext as _

from commissions.intake.errors import BriefClosed, NotYet
from commissions.intake.forms import SCHEMA
from commissions.intake.forms.pictures import MOST_PICTURES
from commissions.intake.models import Brief, BriefPicture, State
from studio import clock
from studio.outbox.writing import write
from studio.people.queries import hashed
from studio.pictures import actions as pictures
from studio.references import new_reference

DRAFT_DAYS = 30
DECLINED_DAYS = 365
UNANSWERED_DAYS = 365


def begin(*, language: str) -> tuple[Brief, str]:
    """Begin a brief and return it with the key that resumes it, of which only the hash is kept."""
    now, token = clock.now(), secrets.token_urlsafe(32)
    reference = new_reference()
    while Brief.objects.filter(reference=reference).exists():
        reference = new_reference()
    brief = Brief.objects.create(
        reference=reference,
        token_hash=hashed(token),
        schema=SCHEMA,
        language=language,
        began_at=now,
        touched_at=now,
        expires_at=now + datetime.timedelta(days=DRAFT_DAYS),
    )
    return brief, token


def _locked(brief: Brief) -> Brief:
    draft = Brief.objects.select_for_update().filter(pk=brief.pk, state=State.DRAFT).first()
    if draft is None:
        raise BriefClosed
    return draft


def _change(draft: Brief, **columns) -> None:
    now = clock.now()
    columns |= {"touched_at": now, "expires_at": now + datetime.timedelta(days=DRAFT_DAYS)}
    if Brief.objects.filter(pk=draft.pk, state=State.DRAFT).update(**columns) != 1:
        raise BriefClosed


@transaction.atomic
def answer(*, brief: Brief, slug: str, given: dict) -> Brief:
    """
    Keep the answer to one question of a draft.

    Effects, in order: the draft is locked, so that two devices cannot lose each other's answers; the answer
    and its time are kept; an address that changes has to be proven again; the draft lives on for 30 days.

    Raises:
        BriefClosed: it has been sent, or is gone.
    """
    draft = _locked(brief)
    columns = {
        "answers": {**draft.answers, slug: given},
        "answered_at": {**draft.answered_at, slug: clock.now().isoformat(timespec="seconds")},
    }
    if slug == "email":
        if given["email"] != draft.email:
            columns |= {"email": given["email"], "email_proven_at": None}
        columns["zone"] = given["zone"]
    _change(draft, **columns)
    draft.refresh_from_db()
    return draft


@transaction.atomic
def keep_for(*, brief: Brief, email: str) -> None:
    """
    Keep a draft under an address, so that it can be taken up on another device.

    Effects, in order: the address is kept as not yet proven, unless it is the proven one; a letter says
    where to go on and until when. It carries no key: going on needs a one-time code.

    Raises:
        BriefClosed: it has been sent, or is gone.
    """
    draft, email = _locked(brief), email.strip().lower()
    columns = {} if email == draft.email else {"email": email, "email_proven_at": None}
    _change(draft, **columns)
    draft.refresh_from_db()
    origin = settings.DISCREET_ORIGIN if draft.discreet else settings.ORIGIN
    write(
        name="brief-kept",
        to=email,
        dedupe_key=f"brief-kept:{draft.pk}:{hashed(email)[:16]}",
        language=draft.language,
        zone=draft.zone,
        discreet=draft.discreet,
        context={"until": draft.expires_at, "back": origin + reverse("intake:back")},
    )


@transaction.atomic
def resume(*, email: str) -> tuple[Brief, str] | None:
    """
    Take up the newest draft of an address that has just been proven by a code.

    Effects, in order: the draft gets a new key, which ends the key of the device before; the address
    counts as proven.
    """
    draft = (
        Brief.objects.select_for_update()
        .filter(email=email, state=State.DRAFT, expires_at__gt=clock.now())
        .order_by("-touched_at", "-id")
        .first()
    )
    if draft is None:
        return None
    token = secrets.token_urlsafe(32)
    _change(draft, token_hash=hashed(token), email_proven_at=clock.now())
    draft.refresh_from_db()
    return draft, token


def prove_address(*, brief: Brief, email: str) -> None:
    """
    Note that the draft's address was proven by a code; nothing happens where it was changed in the meantime.

    Raises:
        BriefClosed: it has been sent, or is gone.
    """
    with transaction.atomic():
        draft = _locked(brief)
        if draft.email == email:
            _change(draft, email_proven_at=clock.now())


def add_picture(*, brief: Brief, upload) -> BriefPicture:
    """
    Take one picture into a draft.

    Effects, in order: the picture is taken in outside a transaction, since files are written; it is tied to
    the draft only if that still is one and has room, and thrown away otherwise.

    Raises:
        PictureRefused: the file is not taken.
        NotYet: the brief has its twelve pictures.
        BriefClosed: it has been sent, or is gone.
    """
    if brief.pictures.count() >= MOST_PICTURES:
        raise NotYet(
            _("A brief takes %(most)s pictures. Remove one to add another.") % {"most": MOST_PICTURES}
        )
    picture = pictures.receive(upload=upload, kind="brief", person_words=f"brief {brief.reference}")
    try:
        with transaction.atomic():
            draft = _locked(brief)
            if draft.pictures.count() >= MOST_PICTURES:
                raise NotYet(
                    _("A brief takes %(most)s pictures. Remove one to add another.") % {"most": MOST_PICTURES}
                )
            _change(draft)
            return BriefPicture.objects.create(brief=draft, picture=picture, added_at=clock.now())
    except (NotYet, BriefClosed):
        pictures.discard(picture=picture)
        raise


@transaction.atomic
def describe_picture(*, brief: Brief, pk: int, liked: str, not_this: str) -> None:
    """
    Keep what the client says about one of their pictures.

    Raises:
        BriefClosed: it has been sent, or is gone.
    """
    draft = _locked(brief)
    BriefPicture.objects.filter(brief=draft, pk=pk).update(liked=liked, not_this=not_this)


@transaction.atomic
def remove_picture(*, brief: Brief, pk: int) -> None:
    """
    Take a picture out of a draft.

    Effects, in order: its row goes; the picture's row and, at commit, its files go.

    Raises:
        BriefClosed: it has been sent, or is gone.
    """
    draft = _locked(brief)
    row = BriefPicture.objects.select_related("picture").filter(brief=draft, pk=pk).first()
    if row:
        row.delete()
        pictures.discard(picture=row.picture)


@transaction.atomic
def forget_draft(*, brief: Brief) -> None:
    """
    Remove a draft with everything in it.

    Effects, in order: the pictures go, with their files at commit; the draft goes, only if it still is one.
    """
    rows = list(brief.pictures.select_related("picture"))
    if not Brief.objects.select_for_update().filter(pk=brief.pk, state=State.DRAFT).exists():
        raise BriefClosed
    BriefPicture.objects.filter(brief=brief).delete()
    for row in rows:
        pictures.discard(picture=row.picture)
    Brief.objects.filter(pk=brief.pk, state=State.DRAFT).delete()


@transaction.atomic
def remove_brief(*, brief: Brief) -> None:
    """
    Remove a brief that was sent, with its pictures; what came of it stays.

    Effects, in order: the pictures go, with their files at commit; the brief goes.
    """
    rows = list(brief.pictures.select_related("picture"))
    BriefPicture.objects.filter(brief=brief).delete()
    for row in rows:
        pictures.discard(picture=row.picture)
    Brief.objects.filter(pk=brief.pk).exclude(state=State.DRAFT).delete()


def remove_old() -> int:
    """
    Remove drafts that have run out, and briefs that we declined or never answered a year ago; how many there were.
    """
    now = clock.now()
    old = list(Brief.objects.filter(state=State.DRAFT, expires_at__lte=now)[:100])
    for brief in old:
        forget_draft(brief=brief)
    declined = Q(state=State.DECLINED, closed_at__lte=now - datetime.timedelta(days=DECLINED_DAYS))
    unanswered = Q(state=State.SENT, sent_at__lte=now - datetime.timedelta(days=UNANSWERED_DAYS))
    over = list(Brief.objects.filter(declined | unanswered)[:100])
    for brief in over:
        remove_brief(brief=brief)
    return len(old) + len(over)
