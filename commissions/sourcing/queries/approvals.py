"""Reads of the stones on approval: which go back when, what they would cost, what the slips say."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db.models import Count, Sum

from commissions.record.models import Question
from commissions.sourcing.models import ApprovalEvent, Owner, Stone, StoneState
from studio import clock

GONE = (StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST)
REMIND_AT = (5, 2, 0)
"""Working days left at which the words of a reminder change. Common practice, no source."""


def memo():
    """Stones on approval that have to go back or be bought, the earliest first."""
    return (
        Stone.objects.filter(return_by__isnull=False, owner=Owner.SUPPLIER)
        .exclude(state__in=(*GONE, StoneState.SET))
        .select_related("commission")
        .order_by("return_by", "id")
    )


def exposure() -> list[dict]:
    """What the stones on approval would cost if none went back: sum and count per currency."""
    rows = memo().exclude(price_minor=None).order_by()
    return list(
        rows.values("currency").annotate(minor=Sum("price_minor"), stones=Count("pk")).order_by("currency")
    )


def register() -> list[dict]:
    """The stones on approval with the working days that are left and when a reminder is due."""
    today = clock.today()
    return [
        {"stone": stone, "days": days, "words": left_in_words(days), "soon": days <= max(REMIND_AT)}
        for stone in memo()
        for days in [working_days_left(today=today, until=stone.return_by)]
    ]


def left_of(*, stone: Stone) -> str:
    """How long a stone may still stay, in words; empty where no day is set."""
    if stone.return_by is None:
        return ""
    return left_in_words(working_days_left(today=clock.today(), until=stone.return_by))


def events(*, stone: Stone):
    """What happened to a stone on approval, oldest first."""
    return ApprovalEvent.objects.filter(stone=stone).order_by("id")


def working_days_left(*, today: datetime.date, until: datetime.date) -> int:
    """Working days (Monday to Friday) after *today* up to *until*; less than nought once it is over."""
    if until < today:
        return -working_days_left(today=until, until=today)
    weeks, rest = divmod((until - today).days, 7)
    return weeks * 5 + sum(1 for day in range(1, rest + 1) if (today.weekday() + day) % 7 < 5)


def left_in_words(days: int) -> str:
    """Working days that are left, in words."""
    if days < 0:
        return f"{-days} working day{'' if days == -1 else 's'} late"
    if days == 0:
        return "today"
    return f"in {days} working day{'' if days == 1 else 's'}"


@dataclass(frozen=True, kw_only=True)
class Reminder:
    """A stone that has to go back soon, and the words of its reminder; they change only at a threshold."""

    stone: Stone
    words: str


def reminders_due() -> list[Reminder]:
    """Stones whose reminder is not there yet or says something older; two questions to the database."""
    today = clock.today()
    last = clock.add_working_days(today, max(REMIND_AT))
    stones = list(memo().filter(commission__isnull=False, return_by__lte=last))
    standing = dict(
        Question.objects.filter(
            key__in=[reminder_key(stone) for stone in stones], answered_at__isnull=True
        ).values_list("key", "words")
    )
    rows = [
        Reminder(
            stone=stone,
            words=reminder_words(
                stone=stone, days=working_days_left(today=today, until=stone.return_by), today=today
            ),
        )
        for stone in stones
    ]
    return [row for row in rows if standing.get(reminder_key(row.stone)) != row.words]


def reminder_key(stone: Stone) -> str:
    """The matter under which a stone's return is asked for."""
    return f"stones.memo:{stone.pk}"


def reminder_words(*, stone: Stone, days: int, today: datetime.date) -> str:
    """What stands before us, by how soon the stone goes back; the same between two thresholds."""
    if stone.return_by < today:
        when = f"had to go back on {stone.return_by:%a %-d %b}"
    elif days <= 0:
        when = "goes back today"
    else:
        reached = min(step for step in REMIND_AT if days <= step)
        when = f"goes back on {stone.return_by:%a %-d %b}, in {reached} working days or less"
    return f"{stone.name[:60]} {when}: send it, buy it, or ask the supplier for longer"
