"""Writes of working time: one clock a person, forgiving edits that keep what was before."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.bench import queries
from commissions.bench.models import Step, TimeEdit, TimeEntry
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio import clock
from studio.people.models import Person


@transaction.atomic
def start_time(
    *, commission: Commission, step: Step | None, person: Person, at: datetime.datetime | None = None
) -> TimeEntry:
    """
    Start the clock of a person on a job.

    Effects, in order: a clock that runs on another job (or this one) is stopped at the same moment; the
    new spell begins, not before the last one ended.
    """
    moment = at or clock.now()
    running = queries.running_clock(person=person)
    if running:
        if running.commission_id == commission.pk:
            return running
        moment = max(moment, running.started_at)
        TimeEntry.objects.filter(pk=running.pk, ended_at__isnull=True).update(ended_at=moment)
    last = TimeEntry.objects.filter(person=person, ended_at__gt=moment).order_by("ended_at").last()
    return TimeEntry.objects.create(
        commission=commission, step=step, person=person, started_at=last.ended_at if last else moment
    )


@transaction.atomic
def stop_time(
    *, commission: Commission, person: Person, at: datetime.datetime | None = None
) -> TimeEntry | None:
    """
    Stop the clock of a person on a job; None where none was running.

    Effects: the end is written only if the spell still runs, and never before its start.
    """
    running = queries.running_clock(person=person)
    if running is None or running.commission_id != commission.pk:
        return None
    end = max(at or clock.now(), running.started_at)
    TimeEntry.objects.filter(pk=running.pk, ended_at__isnull=True).update(ended_at=end)
    running.ended_at = end
    return running


@transaction.atomic
def edit_time(
    *,
    entry: TimeEntry,
    started_at: datetime.datetime,
    ended_at: datetime.datetime,
    reason: str,
    person: Person,
) -> None:
    """
    Put a spell right.

    Effects, in order: what it was is kept with the reason; the spell carries the new times.

    Raises:
        Refused: no reason, it ends before it begins or in the future, or it overlaps another spell.
    """
    missing = []
    if not reason.strip():
        missing.append("Say why the time is changed.")
    if ended_at < started_at:
        missing.append("The end has to come after the beginning.")
    if ended_at > clock.now():
        missing.append("The end is in the future.")
    overlap = (
        TimeEntry.objects.filter(person=entry.person_id, started_at__lt=ended_at)
        .exclude(pk=entry.pk)
        .exclude(ended_at__lte=started_at)
        .select_related("commission")
        .first()
    )
    if overlap:
        missing.append(f"It overlaps a spell on {overlap.commission.reference}.")
    if missing:
        raise Refused(*missing)
    TimeEdit.objects.create(
        entry=entry,
        started_before=entry.started_at,
        ended_before=entry.ended_at,
        reason=reason,
        person=person,
        at=clock.now(),
    )
    TimeEntry.objects.filter(pk=entry.pk).update(started_at=started_at, ended_at=ended_at)


@transaction.atomic
def go_on(*, entry: TimeEntry) -> None:
    """
    Let a spell that was just stopped run on.

    Effects: its end is taken away, unless another clock of the same person runs.

    Raises:
        Refused: another clock runs.
    """
    if queries.running_clock(person=entry.person):
        raise Refused("Another clock of yours is running.")
    TimeEntry.objects.filter(pk=entry.pk).update(ended_at=None)
