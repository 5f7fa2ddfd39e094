"""Writes of care: its dates, and what was found."""

from __future__ import annotations

import datetime
from collections.abc import Iterable

from django.db import transaction

from commissions.delivery.models import CareDate, CarePhoto, How
from commissions.delivery.paths import client_path, studio_path
from commissions.record.actions import answer_question, complete, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from commissions.record.route import Stage, State, Turn
from studio import clock
from studio.people.models import Person
from studio.pictures.models import Picture
from studio.trail.actions import record as write_trail

FIRST_DAYS = [
    (3, "Arrived as shown?", "Did it arrive as shown?"),
    (30, "Comfort and size", "How does it feel, and does the size fit?"),
]
YEARLY = (12, "Yearly claw and halo check", "Yearly check of claws and halo stones")
CHECK_MONTHS = [(6, "First claw and halo check", "First check of claws and halo stones"), YEARLY]
"""Common practice, no source: claws and halo are looked at after half a year, then yearly."""
ASK_DAYS_BEFORE = 14


def months_after(start: datetime.date, months: int) -> datetime.date:
    """The same day *months* later, or the last of that month where there is no such day."""
    month = start.month - 1 + months
    year, month = start.year + month // 12, month % 12 + 1
    last = (datetime.date(year + month // 12, month % 12 + 1, 1) - datetime.timedelta(days=1)).day
    return datetime.date(year, month, min(start.day, last))


@transaction.atomic
def lay_care_dates(*, commission: Commission, start: datetime.date) -> None:
    """
    Lay the dates of care from the day the ring arrived.

    Effects, in order: the dates are written, each once (of a small job the first two alone: its ring has yearly
    dates of its own); the earliest that is not done is asked of the client.
    """
    dates = [(start + datetime.timedelta(days=days), *words) for days, *words in FIRST_DAYS]
    if not commission.ring_id:
        dates += [(months_after(start, months), *words) for months, *words in CHECK_MONTHS]
    for due_on, words, client_words in dates:
        CareDate.objects.get_or_create(
            commission=commission, due_on=due_on, defaults={"words": words, "client_words": client_words}
        )
    ask_next_care(commission=commission)


@transaction.atomic
def ask_next_care(*, commission: Commission) -> None:
    """
    Ask for the earliest date of care that is not done, a fortnight before it.

    Effects: the client's question is opened; while the date is further off, the matter is ours and due on
    the day on which the client is asked, so that no letter goes out months too early.
    """
    care = CareDate.objects.filter(commission=commission, done_at__isnull=True).order_by("due_on").first()
    if care is None:
        return
    ask_on = care.due_on - datetime.timedelta(days=ASK_DAYS_BEFORE)
    is_due = ask_on <= clock.today()
    open_question(
        commission=commission,
        key=f"care:{care.pk}",
        addressee=Turn.CLIENT if is_due else Turn.US,
        words=care.words if is_due else f"{care.words}: the client is asked by itself on this day",
        client_words=care.client_words,
        path=studio_path(commission),
        client_path=client_path(commission, "care"),
        due_on=care.due_on if is_due else ask_on,
        blocking=is_due,
    )


@transaction.atomic
def ask_due_care() -> int:
    """
    Ask the clients whose next date of care is a fortnight away or nearer; how many were asked.

    Effects, in order, for each: the matter that was ours until now is passed on to the client, which
    gives it its letter (in neutral words where the ring is a surprise).
    """
    waiting = Question.objects.filter(
        key__startswith="care:",
        addressee=Turn.US,
        answered_at__isnull=True,
        due_on__lte=clock.today(),
        commission__state=State.OPEN,
    ).select_related("commission")[:200]
    for question in waiting:
        ask_next_care(commission=question.commission)
    return len(waiting)


@transaction.atomic
def finish_care(
    *,
    care: CareDate,
    findings: str,
    by_words: str,
    how: str = How.WEARER,
    pictures: Iterable[Picture] = (),
) -> None:
    """
    Keep what was found at one date of care.

    Effects, in order: the date is marked done once, with its findings, how the ring was looked at and by whom;
    its photographs are put with it; its question is answered; after the last one the next yearly check is laid
    (a small job is completed instead: its ring has dates of its own); the next is asked for.
    """
    now = clock.now()
    changed = CareDate.objects.filter(pk=care.pk, done_at__isnull=True).update(
        done_at=now, findings=findings, how=how, done_by=by_words[:160]
    )
    if changed:
        for picture in pictures:
            CarePhoto.objects.create(
                commission=care.commission, care=care, picture=picture, by_words=by_words[:160], at=now
            )
        answer_question(commission=care.commission, key=f"care:{care.pk}", by_words=by_words)
        left = CareDate.objects.filter(commission=care.commission, done_at__isnull=True).exists()
        if not left and care.commission.ring_id:
            complete(commission=care.commission, by_words=by_words)
            return
        if not left:
            _, words, client_words = YEARLY
            CareDate.objects.get_or_create(
                commission=care.commission,
                due_on=months_after(max(care.due_on, clock.today()), 12),
                defaults={"words": words, "client_words": client_words},
            )
        ask_next_care(commission=care.commission)


@transaction.atomic
def log_check(
    *,
    commission: Commission,
    care: CareDate | None,
    findings: str,
    how: str,
    pictures: Iterable[Picture],
    person: Person,
) -> CareDate:
    """
    Log a check that the studio made: at one of its dates, or in between.

    Effects, in order: a check in between gets a date of its own; the check is kept as finish_care does; the trail
    says so.

    Raises:
        Refused: the ring is not with its wearer, or this date is done already.
    """
    if commission.stage != Stage.CARE:
        raise Refused("Only a ring that has arrived is checked here.")
    if care is None:
        care, made = CareDate.objects.get_or_create(
            commission=commission,
            due_on=clock.today(),
            defaults={"words": "Check in between", "client_words": "A check in between"},
        )
        if not made and care.done_at:
            raise Refused("A check of today is in the log already.")
    elif care.done_at:
        raise Refused("This date is done already.")
    finish_care(care=care, findings=findings, by_words=str(person), how=how, pictures=pictures)
    write_trail(actor=person, verb="logged a check", subject=commission.reference, facts={"how": how})
    care.refresh_from_db()
    return care
