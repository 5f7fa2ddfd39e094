"""The one moment in which a brief becomes unchangeable."""

from __future__ import annotations

import datetime

from django.db import transaction
from django.utils.translation import gettext as _

from commissions.intake.errors import BriefClosed, NotYet
from commissions.intake.models import Brief, State
from commissions.intake.queries import digest_of, missing, said
from studio import clock
from studio.outbox.writing import write
from studio.people.models import ClientAccess
from studio.people.queries import hashed
from studio.trail.actions import record as write_trail

REPLY_WORKING_DAYS = 2
LEAST_SECONDS = 20
"""Nobody answers all the questions faster; a machine does."""


@transaction.atomic
def send(*, brief: Brief) -> Brief:
    """
    Send a brief to the studio.

    Effects, in order: every question has to be answered, the address proven, and more time spent than a
    machine needs; the answers are frozen by a conditional update with their digest and the day of our reply;
    the address gets its way in to the client's pages; the copy is written as a letter; the trail says so.

    Raises:
        NotYet: something is missing; the words say what.
        BriefClosed: it has been sent already, or is gone.
    """
    draft = Brief.objects.select_for_update().filter(pk=brief.pk, state=State.DRAFT).first()
    if draft is None:
        raise BriefClosed
    now = clock.now()
    if missing(brief=draft):
        raise NotYet(_("Some questions have no answer yet. “I don’t know” is an answer too."))
    if draft.email_proven_at is None:
        raise NotYet(_("Your address has to be checked with a code first."))
    if now - draft.began_at < datetime.timedelta(seconds=LEAST_SECONDS):
        raise NotYet(_("That was very quick. Please look through your answers once more, then send again."))
    reply_due_on = clock.add_working_days(clock.working_day(clock.today()), REPLY_WORKING_DAYS)
    sent = Brief.objects.filter(pk=draft.pk, state=State.DRAFT).update(
        state=State.SENT,
        sent_at=now,
        reply_due_on=reply_due_on,
        expires_at=None,
        digest=digest_of(brief=draft),
    )
    if sent != 1:
        raise BriefClosed
    draft.refresh_from_db()
    access, _made = ClientAccess.objects.get_or_create(
        email=draft.email,
        defaults={"language": draft.language, "zone": draft.zone or "UTC", "created_at": now},
    )
    if draft.discreet:
        ClientAccess.objects.filter(pk=access.pk).update(discreet=True)
    write(
        name="brief-received",
        to=draft.email,
        dedupe_key=f"brief-received:{draft.pk}",
        subject_ref=draft.reference,
        language=draft.language,
        zone=draft.zone,
        discreet=draft.discreet,
        context={"brief": draft, "groups": said(brief=draft, leave_out=("budget", "contact"))},
    )
    write_trail(
        actor=f"client:{access.pk}",
        verb="sent a brief",
        subject=draft.reference,
        facts={"digest": draft.digest, "address": hashed(draft.email)[:12]},
    )
    return draft
