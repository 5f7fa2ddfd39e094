"""Hours promised against hours there, week by week, and the last day on which an approval still makes a date."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass

from commissions.bench.models import Step, StepState, StepTemplate
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
