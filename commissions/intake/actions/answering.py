"""Writes of the studio about a brief that was sent."""

from __future__ import annotations

from django.db import transaction

from commissions.intake.errors import BriefClosed
from commissions.intake.models import Brief, Client, State
from studio import clock
from studio.outbox.writing import write
from studio.people.models import ClientAccess
from studio.trail.actions import record as write_trail


def _close(*, brief: Brief, state: str, by: object, reply: str = "") -> None:
    closed = Brief.objects.filter(pk=brief.pk, state=State.SENT).update(
        state=state, closed_at=clock.now(), closed_by=str(by)[:160], reply=reply
    )
    if closed != 1:
        raise BriefClosed
    brief.refresh_from_db()


@transaction.atomic
def find_or_make_client(*, brief: Brief, discreet: bool) -> Client:
    """
    The client who sent a brief, found by their proven address or made from their answers.

    Effects, in order: the way in is found or made; where it is a surprise, every letter to it keeps to
    neutral words from here on; the client is found or made.
    """
    name, contact, now = brief.answer("name"), brief.answer("contact"), clock.now()
    access, _made = ClientAccess.objects.get_or_create(
        email=brief.email,
        defaults={
            "language": brief.language,
            "zone": brief.zone or "UTC",
            "discreet": discreet,
            "created_at": now,
        },
    )
    if discreet:
        ClientAccess.objects.filter(pk=access.pk).update(discreet=True)
    client, _made = Client.objects.get_or_create(
        access=access,
        defaults={
            "full_name": name.get("full_name", ""),
            "country": name.get("country", ""),
            "phone": contact.get("phone", ""),
            "created_at": now,
        },
    )
    return client


@transaction.atomic
def mark_answered(*, brief: Brief, by: object) -> None:
    """
    Close a brief that became a commission.

    Effects, in order: the state changes only if nobody has answered it; the trail says so.

    Raises:
        BriefClosed: it was answered or declined already.
    """
    _close(brief=brief, state=State.ANSWERED, by=by)
    write_trail(actor=by, verb="answered the brief", subject=brief.reference)


@transaction.atomic
def decline(*, brief: Brief, words: str, by: object) -> None:
    """
    Say no to a brief, kindly and in person.

    Effects, in order: the state changes only if nobody has answered it, and our words are kept beside it;
    the letter is written (in neutral words where it is a surprise); the trail says so.

    Raises:
        BriefClosed: it was answered or declined already.
    """
    _close(brief=brief, state=State.DECLINED, by=by, reply=words)
    write(
        name="brief-declined",
        to=brief.email,
        dedupe_key=f"brief-declined:{brief.pk}",
        subject_ref=brief.reference,
        language=brief.language,
        zone=brief.zone,
        discreet=brief.discreet,
        context={"brief": brief, "said": words, "person": str(by)},
    )
    write_trail(actor=by, verb="declined the brief", subject=brief.reference)
