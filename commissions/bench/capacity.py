"""Hours promised against hours there, week by week, and the last day on which an approval still makes a date."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass

from commissions.bench.models import Step, StepState, StepTemplate, SupplierJob
from commissions.record.models import Commission
from commissions.record.route import Stage, State
from studio import clock
from studio.people.models import Person, Role

HOURS_A_WEEK = {Role.OWNER: 12, Role.JEWELLER: 30, Role.SETTER: 15}
"""Bench hours a week that a person is there for, by role: a starting point of common practice, no source."""

MINUTES_A_DAY = 360
"""Bench minutes that a working day holds, after telephone, post and cleaning. Common practice, no source."""

OUTSIDE_DAYS = 5
"""Working days that a step outside the house takes. Common practice, no source."""

SENDING_DAYS = 5
"""Working days for packing and carriage. Common practice, no source."""


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
    *, needed_by: datetime.date, template: StepTemplate, sending_days: int = SENDING_DAYS
) -> datetime.date:
    """
    Last day on which an approval still makes *needed_by*.

    Counted back from the date: *sending_days* for packing and carriage, then one working day for each 360
    planned minutes, and five for each step outside the house. Common practice, no source.
    """
    lines = list(template.lines.all())
    minutes = sum(line.planned_minutes for line in lines if not line.supplier_task)
    outside = sum(1 for line in lines if line.supplier_task)
    return working_days_back(
        end=needed_by, days=sending_days + -(-minutes // MINUTES_A_DAY) + OUTSIDE_DAYS * outside
    )


@dataclass(frozen=True, kw_only=True)
class Slack:
    """
    How one job stands against its date, and what that was counted from.

    ``done_on`` is when the last of its steps is done, ours and the suppliers' one after the other; ``ready_on``
    has the days of the parcel on top.
    """

    commission: Commission
    wanted_on: datetime.date
    minutes_left: int
    outside_left: int
    done_on: datetime.date
    ready_on: datetime.date

    @property
    def days(self) -> int:
        """Working days to spare; below zero where it will be late."""
        return working_days_between(self.ready_on, self.wanted_on)

    @property
    def late_by(self) -> int:
        """Working days it will be late by; nothing where it will not."""
        return max(0, -self.days)

    @property
    def hours_left(self) -> float:
        """Bench hours that are left."""
        return self.minutes_left / 60


def working_days_between(start: datetime.date, end: datetime.date) -> int:
    """Working days (Monday to Friday) from *start* to *end*; below zero where *end* comes first."""
    if end < start:
        return -working_days_between(end, start)
    days = 0
    while start < end:
        start += datetime.timedelta(days=1)
        days += start.weekday() < 5
    return days


def _left():
    return Step.objects.filter(
        state__in=[StepState.WAITING, StepState.OPEN], commission__state=State.OPEN
    ).select_related("commission")


def walk(*, steps: list[Step], out: set[int], start: datetime.date) -> datetime.date:
    """
    The day on which *steps* are done, taken one after the other from *start*.

    Our own minutes add up to working days of 360. A step that is with a supplier (its key is in *out*) is back
    on the day it is owed; one that has yet to be sent takes five working days, or until its own day if that is later.
    """
    day, minutes = start, 0
    for step in steps:
        if not step.supplier_task:
            minutes += step.planned_minutes
            continue
        day, minutes = clock.add_working_days(day, -(-minutes // MINUTES_A_DAY)), 0
        if step.pk not in out:
            day = clock.add_working_days(day, OUTSIDE_DAYS)
        day = max(day, step.due_on or day)
    return clock.add_working_days(day, -(-minutes // MINUTES_A_DAY))


def _slack(waiting: list[Step], out: set[int], sending_days: int) -> Slack | None:
    commission = waiting[0].commission
    wanted = commission.promised_on or commission.needed_by
    if wanted is None:
        return None
    done = walk(steps=waiting, out=out, start=clock.today())
    return Slack(
        commission=commission,
        wanted_on=wanted,
        minutes_left=sum(step.planned_minutes for step in waiting if not step.supplier_task),
        outside_left=sum(1 for step in waiting if step.supplier_task),
        done_on=done,
        ready_on=clock.add_working_days(done, sending_days),
    )


def _out_now() -> set[int]:
    return set(
        SupplierJob.objects.filter(returned_at__isnull=True, step__isnull=False).values_list(
            "step", flat=True
        )
    )


def slacks(*, sending_days: int = SENDING_DAYS) -> list[Slack]:
    """
    Every job on the bench that somebody wants by a date, the tightest first.

    A job is ready *sending_days* after the last of its steps is done (see walk). It is computed anew at each
    look, so that a step that slips shows at once.
    """
    out = _out_now()
    left: dict[int, list[Step]] = defaultdict(list)
    for step in _left():
        left[step.commission_id].append(step)
    rows = [row for waiting in left.values() if (row := _slack(waiting, out, sending_days))]
    return sorted(rows, key=lambda row: (row.days, row.wanted_on))


def slack_of(*, commission: Commission, sending_days: int = SENDING_DAYS) -> Slack | None:
    """How one job stands against its date; None where no step is left or nobody wants it by a date."""
    waiting = list(_left().filter(commission=commission))
    return _slack(waiting, _out_now(), sending_days) if waiting else None


@dataclass(frozen=True, kw_only=True)
class Approval:
    """Until when a ring that is not agreed yet has to be agreed, for its date to be made."""

    commission: Commission
    wanted_on: datetime.date
    approve_by: datetime.date

    @property
    def days(self) -> int:
        """Working days until then; below zero where the date cannot be made any more."""
        return working_days_between(clock.today(), self.approve_by)


BEFORE_THE_BENCH = [Stage.DESIGN, Stage.STONES, Stage.AGREEMENT]


def approvals(*, template: StepTemplate | None = None) -> list[Approval]:
    """
    Every commission before its agreement that somebody wants by a date, with the last day on which an approval
    still makes it, the tightest first; counted with the steps of *template*, or of the first that is offered.
    """
    template = template or StepTemplate.objects.filter(is_active=True).prefetch_related("lines").first()
    if template is None:
        return []
    rows = Commission.objects.filter(state=State.OPEN, stage__in=BEFORE_THE_BENCH).exclude(
        needed_by=None, promised_on=None
    )
    found = []
    for row in rows:
        wanted = row.promised_on or row.needed_by
        day = latest_approval(needed_by=wanted, template=template)
        found.append(Approval(commission=row, wanted_on=wanted, approve_by=day))
    return sorted(found, key=lambda row: (row.approve_by, row.commission.pk))
