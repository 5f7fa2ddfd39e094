"""
Acts from the bench: each is done exactly once, however often its phone sends it.

The act is claimed by inserting its id in the same transaction as its effect. A repeat finds the row and
gets the answer of the first time; a refused act rolls the row back with everything else, so that it can
be sent again under the same id once what was missing is there.
"""

from __future__ import annotations

import datetime
import hashlib
import json
import uuid

from django.db import transaction

from commissions.bench import queries
from commissions.bench.actions import facts, photos, problems, steps, time
from commissions.bench.models import Act, ActKind, Step
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission
from studio import clock, quantities
from studio.people.models import Person
from studio.pictures.actions import receive

OLDEST = datetime.timedelta(days=30)
"""A phone that has been away longer than this has lost its clock rather than its line."""


def believable(*, claimed: datetime.datetime | None) -> datetime.datetime:
    """The phone's time where it can be true, ours otherwise: never in the future, never a month ago."""
    now = clock.now()
    return claimed if claimed and now - OLDEST <= claimed <= now else now


def perform(
    *,
    key: uuid.UUID,
    kind: str,
    commission: Commission,
    person: Person,
    details: dict,
    upload=None,
    claimed_at: datetime.datetime | None = None,
) -> Act:
    """
    Do one act, once.

    Effects, in order: an act that is known is answered again without effect; a photo is received; in one
    transaction the act is claimed by inserting its id, and done; the picture of an act that was refused
    or overtaken by its own repeat is dropped.

    Raises:
        Refused: a gate says no; nothing is kept, and the same id may be sent again.
        PictureRefused: the photo is not one.
    """
    digest = _digest(kind=kind, details=details, upload=upload)
    known = _known(key=key, commission=commission, digest=digest)
    if known:
        return known
    picture = None
    if upload is not None and kind in (ActKind.PHOTO, ActKind.PROBLEM):
        picture = receive(upload=upload, kind="bench", person_words=str(person))
    try:
        act, made = _claim_and_do(
            key=key,
            kind=kind,
            commission=commission,
            person=person,
            details=details,
            digest=digest,
            picture=picture,
            at=believable(claimed=claimed_at),
        )
    except BaseException:
        if picture:
            photos.forget(picture=picture)
        raise
    if picture and not made:
        photos.forget(picture=picture)
    return act


def _digest(*, kind: str, details: dict, upload) -> str:
    body = json.dumps([kind, details, getattr(upload, "size", None)], sort_keys=True, default=str)
    return hashlib.sha256(body.encode()).hexdigest()


def _known(*, key, commission, digest) -> Act | None:
    act = Act.objects.filter(key=key).first()
    if act and (act.commission_id != commission.pk or act.digest != digest):
        # The same page sent twice with other figures is not a repeat, and must not be answered like one.
        raise Refused(
            "This page was sent before, with something else on it. Open it again and send it from there."
        )
    return act


@transaction.atomic
def _claim_and_do(*, key, kind, commission, person, details, digest, picture, at) -> tuple[Act, bool]:
    claim = Act(
        key=key,
        digest=digest,
        commission=commission,
        person=person,
        kind=kind,
        client_at=at,
        received_at=clock.now(),
    )
    Act.objects.bulk_create([claim], ignore_conflicts=True)
    act = Act.objects.select_for_update().get(key=key)
    if act.said:
        return act, False
    said, subject = DOERS[kind](commission=commission, person=person, at=at, picture=picture, **details)
    Act.objects.filter(pk=act.pk).update(said=said, subject=subject)
    act.said, act.subject = said, subject
    return act, True


def _step(commission: Commission) -> Step | None:
    return queries.current_step(commission=commission)


def _start(*, commission, person, at, picture, step=None) -> tuple[str, int | None]:
    current = _step(commission)
    if current is None or (step and current.pk != step):
        raise Overtaken
    steps.start_step(commission=commission, step=current, person=person, at=at)
    return f"Started: {current.name}.", current.pk


def _done(*, commission, person, at, picture, step=None) -> tuple[str, int | None]:
    current = _step(commission)
    if current is None or (step and current.pk != step):
        raise Overtaken
    following = steps.finish_step(commission=commission, step=current, person=person, at=at)
    return f"Done: {current.name}. Next: {following.name}.", current.pk


def _photo(*, commission, person, at, picture, shot="", caption="", scale="") -> tuple[str, int | None]:
    if picture is None:
        raise Refused("There is no photo.")
    row = photos.add_photo(
        commission=commission,
        picture=picture,
        step=_step(commission),
        person=person,
        shot=shot,
        caption=caption,
        scale=scale,
        at=picture.taken_at if picture.taken_at and picture.taken_at <= at else at,
    )
    return "Photo kept. The studio alone sees it.", row.pk


def _weigh(*, commission, person, at, picture, what, gross_mg, tare_mg=0, scale="", sure=False):
    row = facts.weigh(
        commission=commission,
        step=_step(commission),
        kind=what,
        gross_mg=gross_mg,
        tare_mg=tare_mg,
        scale=scale,
        person=person,
        at=at,
        sure=sure,
    )
    return f"{row.get_kind_display()}: {quantities.g(row.net_mg)} g kept.", row.pk


def _problem(*, commission, person, at, picture, words) -> tuple[str, int | None]:
    shown = None
    if picture:
        shown = photos.add_photo(
            commission=commission, picture=picture, step=_step(commission), person=person, caption="", at=at
        )
    row = problems.report_problem(
        commission=commission, step=_step(commission), words=words, photo=shown, person=person, at=at
    )
    return "Problem noted. It now heads the list of what needs us.", row.pk


def _time_on(*, commission, person, at, picture) -> tuple[str, int | None]:
    row = time.start_time(commission=commission, step=_step(commission), person=person, at=at)
    return "Your time is running.", row.pk


def _time_off(*, commission, person, at, picture) -> tuple[str, int | None]:
    row = time.stop_time(commission=commission, person=person, at=at)
    if row is None:
        return "Your time was not running on this job.", None
    minutes = int((row.ended_at - row.started_at).total_seconds() // 60)
    return f"Time kept: {minutes // 60}:{minutes % 60:02d}.", row.pk


def _count(
    *, commission, person, at, picture, lines=None, issued=0, set=0, returned=0, broken=0, lost=0
) -> tuple[str, int | None]:
    if lines:
        # What was issued stands in the drawer's own book, and nobody types it twice.
        issued = sum(row.issued for row in queries.issued_lots(commission=commission))
        set, returned, broken, lost = (
            sum(line[name] for line in lines) for name in ("set", "returned", "broken", "lost")
        )
    row = facts.count_stones(
        commission=commission,
        step=_step(commission),
        issued=issued,
        set=set,
        returned=returned,
        broken=broken,
        lost=lost,
        person=person,
        at=at,
        lines=lines,
    )
    if row.unaccounted:
        return f"Count kept. {abs(row.unaccounted)} do not add up yet.", row.pk
    if lines and (left := list(queries.stones_missing(commission=commission))):
        return f"Count kept. {left[0]}"[:240], row.pk
    return "Count kept. Every stone is accounted for.", row.pk


DOERS = {
    ActKind.START: _start,
    ActKind.DONE: _done,
    ActKind.PHOTO: _photo,
    ActKind.WEIGH: _weigh,
    ActKind.PROBLEM: _problem,
    ActKind.TIME_ON: _time_on,
    ActKind.TIME_OFF: _time_off,
    ActKind.COUNT: _count,
}
