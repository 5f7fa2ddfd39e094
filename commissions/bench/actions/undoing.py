"""Taking an act back within its ten seconds: by a further row, never by a deletion."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.bench.actions import facts, photos, steps, time
from commissions.bench.models import Act, ActKind, Photo, Step, StoneCount, TimeEntry, Weighing
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission
from studio import clock
from studio.people.models import Person

UNDO_SECONDS = 10
UNDO_GRACE_SECONDS = 5
"""What a slow line may take on top, so that a tap in the tenth second counts."""


def can_undo(*, act: Act) -> bool:
    """Whether an act can still be taken back: for ten seconds, and only where nothing has moved."""
    limit = datetime.timedelta(seconds=UNDO_SECONDS + UNDO_GRACE_SECONDS)
    reversible = act.kind not in (ActKind.START, ActKind.PROBLEM) and act.subject is not None
    return reversible and act.undone_at is None and clock.now() - act.received_at <= limit


@transaction.atomic
def undo(*, act: Act, person: Person) -> str:
    """
    Take an act back within its ten seconds; what was undone, in words.

    Effects, in order: the act is claimed only if it was not undone; its effect is taken back by the same
    room that made it (a further row, never a deletion).

    Raises:
        Refused: too late, not one's own, or something has followed.
    """
    if act.person_id != person.pk or not can_undo(act=act):
        raise Refused("Too late to undo this.")
    changed = Act.objects.filter(pk=act.pk, undone_at__isnull=True).update(undone_at=clock.now())
    if changed != 1:
        raise Overtaken
    if act.kind == ActKind.PHOTO:
        photos.remove_photo(photo=Photo.objects.get(pk=act.subject), person=person)
    elif act.kind == ActKind.WEIGH:
        facts.take_back_weight(weighing=Weighing.objects.get(pk=act.subject), person=person)
    elif act.kind == ActKind.COUNT:
        facts.take_back_count(count=StoneCount.objects.get(pk=act.subject), person=person)
    elif act.kind == ActKind.DONE:
        steps.reopen_step(
            commission=Commission.objects.get(pk=act.commission_id),
            step=Step.objects.get(pk=act.subject),
            person=person,
        )
    elif act.kind == ActKind.TIME_ON:
        entry = TimeEntry.objects.get(pk=act.subject)
        time.stop_time(commission=entry.commission, person=person, at=entry.started_at)
    elif act.kind == ActKind.TIME_OFF:
        time.go_on(entry=TimeEntry.objects.get(pk=act.subject))
    return f"Undone: {act.get_kind_display()}."
