"""Hours promised against hours there, week by week, and the last day on which an approval still makes a date."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass

from commissions.bench.models import Step, StepState, StepTemplate
from commissions.record.models import Commission
from commissions.record.route import State
from studio import clock
from studio.people.models import Person, Role

HOURS_A_WEEK = {Role.OWNER: 12, Role.JEWELLER: 30, Role.SETTER: 15}
"""Bench hours a week that a person is there for, by role: a starting point of common practice, no source."""


@dataclass(frozen=True, kw_only=True)
class Week:
    """One week: hours of steps that fall due in it against hours at the bench."""

    begins: datetime.date
    promised_minutes: int
    there_minutes: int

    @property
    def is_over(self) -> bool:
        """Whether more is promised than anybody is there for."""
        return self.promised_minutes > self.there_minutes

    @property
    def promised_hours(self) -> float:
        """Hours promised."""
        return self.promised_minutes / 60

    @property
    def there_hours(self) -> float:
        """Hours at the bench."""
        return self.there_minutes / 60


def _monday(date: datetime.date) -> datetime.date:
    return date - datetime.timedelta(days=date.weekday())


def weeks(*, ahead: int = 8) -> list[Week]:
    """
    The weeks to come.

    A step counts in the week it is due; what is overdue counts in this one. Supplier steps take no bench hours.
    """
    first = _monday(clock.today())
    promised: dict[datetime.date, int] = defaultdict(int)
    rows = Step.objects.filter(
        state__in=[StepState.WAITING, StepState.OPEN], supplier_task="", commission__state=State.OPEN
    ).values_list("due_on", "planned_minutes")
    for due_on, minutes in rows:
        promised[max(first, _monday(due_on or first))] += minutes
    people = Person.objects.filter(is_active=True).values_list("role", flat=True)
    there = sum(HOURS_A_WEEK.get(role, 0) for role in people) * 60
    begins = [first + datetime.timedelta(weeks=number) for number in range(ahead)]
    return [Week(begins=day, promised_minutes=promised[day], there_minutes=there) for day in begins]


def working_days_back(*, end: datetime.date, days: int) -> datetime.date:
    """The date *days* working days (Monday to Friday) before *end*; public holidays are not known."""
    while end.weekday() > 4:
        end -= datetime.timedelta(days=1)  # what is due on a Sunday has to be done on the Friday
    while days > 0:
        end -= datetime.timedelta(days=1)
        if end.weekday() < 5:
            days -= 1
    return end


def latest_approval(
    *, needed_by: datetime.date, template: StepTemplate, sending_days: int = 5
) -> datetime.date:
    """
    Last day on which an approval still makes *needed_by*.

    Counted back from the date: *sending_days* for packing and carriage, then one working day for each 360
    planned minutes, and five for each step outside the house. Common practice, no source.
    """
    lines = list(template.lines.all())
    minutes = sum(line.planned_minutes for line in lines if not line.supplier_task)
    outside = sum(1 for line in lines if line.supplier_task)
    return working_days_back(end=needed_by, days=sending_days + -(-minutes // 360) + 5 * outside)


@dataclass(frozen=True, kw_only=True)
class Slack:
    """How one job stands against its date; ``ready_on`` is when the bench is done and the parcel has its days."""

    commission: Commission
    wanted_on: datetime.date
    ready_on: datetime.date

    @property
    def days(self) -> int:
        """Working days to spare; below zero where it will be late."""
        return _working_days_between(self.ready_on, self.wanted_on)

    @property
    def late_by(self) -> int:
        """Working days it will be late by; nothing where it will not."""
        return max(0, -self.days)


def _working_days_between(start: datetime.date, end: datetime.date) -> int:
    if end < start:
        return -_working_days_between(end, start)
    days = 0
    while start < end:
        start += datetime.timedelta(days=1)
        days += start.weekday() < 5
    return days


def slacks(*, sending_days: int = 5) -> list[Slack]:
    """
    Every job on the bench that somebody wants by a date, the tightest first.

    A job is ready when what is left of its steps is done at 360 minutes a working day from today (or when a
    supplier's step is due, if that is later), and *sending_days* after that. It is computed anew at each look,
    so that a step that slips shows at once.
    """
    today = clock.today()
    left: dict[int, list[Step]] = defaultdict(list)
    steps = Step.objects.filter(
        state__in=[StepState.WAITING, StepState.OPEN], commission__state=State.OPEN
    ).select_related("commission")
    for step in steps:
        left[step.commission_id].append(step)
    rows = []
    for waiting in left.values():
        commission = waiting[0].commission
        wanted = commission.promised_on or commission.needed_by
        if wanted is None:
            continue
        minutes = sum(step.planned_minutes for step in waiting if not step.supplier_task)
        done = clock.add_working_days(today, -(-minutes // 360))
        out = [step.due_on for step in waiting if step.supplier_task and step.due_on]
        ready = clock.add_working_days(max([done, *out]), sending_days)
        rows.append(Slack(commission=commission, wanted_on=wanted, ready_on=ready))
    return sorted(rows, key=lambda row: (row.days, row.wanted_on))
