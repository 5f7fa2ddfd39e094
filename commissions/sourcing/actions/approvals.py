"""Stones on approval: longer, bought, sent back; and a stone on paper that is taken off the list."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.route import Turn
from commissions.sourcing.actions.stones import GONE, plain
from commissions.sourcing.models import ApprovalEvent, ApprovalKind, Custody, Owner, Stone, StoneState
from commissions.sourcing.queries.approvals import reminder_key
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

RETURN_TOLERANCE_MCT = 3
"""Two weighings of one clean stone may differ by this much, 0.001 ct. Our own figure."""


def _subject(stone: Stone) -> str:
    return stone.commission.reference if stone.commission else stone.name


def _event(*, stone: Stone, kind: str, person: Person, words: str = "", until=None) -> None:
    ApprovalEvent.objects.create(
        stone=stone, kind=kind, until=until, words=words, by_words=str(person), at=clock.now()
    )


@transaction.atomic
def extend_approval(*, stone: Stone, until: datetime.date, reason: str, person: Person) -> Stone:
    """
    Move the day a stone on approval has to go back, as the supplier agreed in writing.

    Effects, in order: the date is moved, only if the stone still is on its way back; the event is written; the
    reminder is taken down; the trail says so.

    Raises:
        Refused: there is no word of the supplier, the day is not later, or the stone has gone.
    """
    if not reason.strip():
        raise Refused("Say where the supplier agreed to it, such as their letter of a day.")
    if stone.return_by is None or until <= stone.return_by:
        raise Refused("The new day is later than the one that stands.")
    changed = (
        Stone.objects.filter(pk=stone.pk, return_by=stone.return_by)
        .exclude(state__in=GONE)
        .update(return_by=until)
    )
    if changed != 1:
        raise Refused("This stone is no longer on approval.")
    _event(stone=stone, kind=ApprovalKind.EXTENDED, person=person, words=reason, until=until)
    settle_reminder(stone=stone, by_words=str(person))
    write_trail(
        actor=person,
        verb="extended an approval",
        subject=_subject(stone),
        facts={"stone": stone.pk, "until": until.isoformat(), "reason": reason},
    )
    stone.refresh_from_db()
    return stone


@transaction.atomic
def send_back(
    *, stone: Stone, weight_mct: int, inscription_typed: str, person: Person, seal: str = ""
) -> Stone:
    """
    Send a stone back to its owner, weighed and read once more, so that a later claim can be answered.

    Effects, in order: the inscription and the weight are held against the check-in; the stone becomes
    *returned*, only if it is not chosen, set or gone; the event is written and the reminder taken down;
    nobody here holds it any more; the trail says so.

    Raises:
        Refused: it is chosen for a seat, or it is not the stone that was checked in.
    """
    if stone.report_number and plain(inscription_typed) != plain(stone.report_number):
        raise Refused("The inscription read is not the one on the report: this may be another stone.")
    seen = stone.check_ins.order_by("-id").first()
    if seen and abs(seen.weight_mct - weight_mct) > RETURN_TOLERANCE_MCT:
        raise Refused(
            f"It weighed {seen.weight_mct / 1000:.3f} ct when it came in and {weight_mct / 1000:.3f} ct now: "
            "clean it and weigh again, and look for a chip."
        )
    changed = (
        Stone.objects.filter(pk=stone.pk, chosen_at__isnull=True)
        .exclude(state__in=(*GONE, StoneState.SET))
        .update(state=StoneState.RETURNED, holder="")
    )
    if changed != 1:
        raise Refused("This stone is chosen for a ring, or is no longer here.")
    _event(
        stone=stone,
        kind=ApprovalKind.RETURNED,
        person=person,
        words=f"{weight_mct / 1000:.3f} ct on leaving" + (f", bag {seal}" if seal else ""),
    )
    settle_reminder(stone=stone, by_words=str(person))
    if stone.holder:
        Custody.objects.create(
            stone=stone, holder="", reason="sent back", by_words=str(person), at=clock.now()
        )
    write_trail(
        actor=person,
        verb="sent a stone back",
        subject=_subject(stone),
        facts={"stone": stone.pk, "weight mct": weight_mct},
    )
    stone.refresh_from_db()
    return stone


@transaction.atomic
def buy_stone(*, stone: Stone, words: str, person: Person) -> Stone:
    """
    Keep a stone on approval: it is bought, and ours from now on.

    Effects, in order: the stone becomes ours, only if it still is the supplier's and here; the event is
    written with the supplier's invoice in words; the reminder is taken down; the trail says so.

    Raises:
        Refused: no invoice is named, or the stone is not on approval any more.
    """
    if not words.strip():
        raise Refused("Name the supplier's invoice, such as its number and day.")
    changed = (
        Stone.objects.filter(pk=stone.pk, owner=Owner.SUPPLIER).exclude(state__in=GONE).update(owner=Owner.US)
    )
    if changed != 1:
        raise Refused("This stone is no longer on approval.")
    Stone.objects.filter(pk=stone.pk, state=StoneState.ON_APPROVAL).update(state=StoneState.CANDIDATE)
    _event(stone=stone, kind=ApprovalKind.BOUGHT, person=person, words=words.strip())
    settle_reminder(stone=stone, by_words=str(person))
    write_trail(
        actor=person,
        verb="bought a stone",
        subject=_subject(stone),
        facts={"stone": stone.pk, "invoice": words.strip()},
    )
    stone.refresh_from_db()
    return stone


@transaction.atomic
def drop_candidate(*, stone: Stone, person: Person) -> None:
    """
    Take a stone off the list that never came here: it was on paper alone.

    Effects, in order: the stone becomes *returned*, only if it is a candidate that nobody chose and nobody
    measured; the trail says so.

    Raises:
        Refused: it is here, or chosen.
    """
    changed = Stone.objects.filter(
        pk=stone.pk, state=StoneState.CANDIDATE, chosen_at__isnull=True, check_ins__isnull=True, holder=""
    ).update(state=StoneState.RETURNED)
    if changed != 1:
        raise Refused("This stone is here or chosen: weigh it out and send it back instead.")
    write_trail(
        actor=person, verb="took a stone off the list", subject=_subject(stone), facts={"stone": stone.pk}
    )


def settle_reminder(*, stone: Stone, by_words: str) -> None:
    """Take a reminder down, where one stands."""
    if stone.commission:
        answer_question(commission=stone.commission, key=reminder_key(stone), by_words=by_words)


def remind(*, stone: Stone, words: str) -> None:
    """
    Put a stone's return before us: it goes back, is bought, or the supplier agrees in writing to longer.

    Effects: the question is opened, or its words and date renewed; it holds nothing up.
    """
    open_question(
        commission=stone.commission,
        key=reminder_key(stone),
        addressee=Turn.US,
        words=words[:200],
        path=f"/studio/stones/{stone.pk}/approval/",
        due_on=stone.return_by,
        blocking=False,
    )
