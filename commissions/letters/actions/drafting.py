"""Drafts from facts. Each of these may be called any number of times: an event has one draft, ever."""

from __future__ import annotations

import datetime

from django.db import transaction
from django.urls import reverse

from commissions.bench.models import Photo
from commissions.letters import queries, words
from commissions.letters.models import Draft, Kind, State, Told
from commissions.record import actions as record
from commissions.record.models import Commission, StageMove
from commissions.record.route import State as Life
from commissions.record.route import Turn
from studio import clock

TOO_OLD = datetime.timedelta(days=7)
"""An event that nobody has told of in this time is no news any more (records brought in from elsewhere)."""

SAME_ACT = datetime.timedelta(seconds=5)
"""A question opened this close to a move is of the same act; the move's letter tells of it."""

PHOTOS = 3
"""Photos that a draft proposes; more make a letter too heavy for a phone."""


def question_key(draft: Draft) -> str:
    """Under which the studio is asked to look at a draft."""
    return f"letter:{draft.pk}"


def close_drafts(*, drafts: list[Draft], state: str, by_words: str, reason: str) -> list[Draft]:
    """
    Close drafts that nobody has decided on; those that were still open.

    Effects, in order: each is closed if it still is open; the question to look at it is answered.
    """
    closed = []
    for draft in drafts:
        changed = Draft.objects.filter(pk=draft.pk, state=State.OPEN).update(
            state=state, decided_at=clock.now(), decided_by=by_words, reason=reason
        )
        if changed == 1:
            record.answer_question(commission=draft.commission, key=question_key(draft), by_words=by_words)
            closed.append(draft)
    return closed


@transaction.atomic
def close_of_withdrawn() -> int:
    """
    Close the open drafts of commissions that were withdrawn; how many.

    Effects, in order, for each: it is closed if it still is open; the question to look at it is answered.
    """
    drafts = queries.drafts_of_the_withdrawn()
    reason = "The commission was withdrawn."
    return len(close_drafts(drafts=drafts, state=State.OVERTAKEN, by_words="the sweep", reason=reason))


def _open(*, draft: Draft) -> None:
    commission = draft.commission
    record.open_question(
        commission=commission,
        key=question_key(draft),
        addressee=Turn.US,
        words=f"Look at the letter about {draft.event[:1].lower()}{draft.event[1:]}",
        path=reverse("letters:draft", args=[commission.reference, draft.pk]),
        due_on=clock.add_working_days(clock.today(), 1),
        blocking=False,
    )


def untold(*, at: datetime.datetime, commission: Commission, progress: bool = False) -> str:
    """Why nothing is to be told, or nothing."""
    if progress and not queries.wishes_progress(commission=commission):
        return "The client wants no letters about progress."
    if commission.state == Life.WITHDRAWN:
        return "The commission was withdrawn."
    if clock.now() - at > TOO_OLD:
        return "It was a week old before a letter could be drafted."
    return ""


@transaction.atomic
def draft_move(*, move: StageMove) -> Draft:
    """
    Draft the one letter about a move.

    Effects, in order: a move that a later one has overtaken gets a closed draft and nothing else; otherwise
    the open drafts about earlier moves and photos are overtaken and their photos come along; the draft is
    written in the client's language; somebody is asked to look at it.
    """
    commission = move.commission
    reason = untold(at=move.at, commission=commission, progress=True)
    if not reason and queries.is_overtaken(move=move):
        reason = "A later step was there before anybody looked."
    subject, said = words.of_move(
        move=move, commission=commission, language=commission.client.access.language
    )
    if not reason and queries.question_of_move(move=move, within=SAME_ACT):
        subject = words.of_turn(language=commission.client.access.language)
    draft, made = Draft.objects.get_or_create(
        cause=f"move:{move.pk}",
        defaults={
            "commission": commission,
            "kind": Kind.NEWS,
            "move": move,
            "subject": subject,
            "words": said,
            "happened_at": move.at,
            "created_at": clock.now(),
            "reason": reason,
            "state": State.OVERTAKEN if reason else State.OPEN,
        },
    )
    if not made or reason:
        return draft
    earlier = [row for row in queries.open_drafts(commission=commission) if row.pk != draft.pk]
    closed = close_drafts(
        drafts=earlier, state=State.OVERTAKEN, by_words="the sweep", reason="A later step tells of it."
    )
    if closed:
        Told.objects.filter(draft__in=closed).update(draft=draft)
        taken = [pk for row in reversed(closed) for pk in row.chosen][:PHOTOS]
        Draft.objects.filter(pk=draft.pk).update(chosen=taken)
        draft.chosen = taken
    _open(draft=draft)
    return draft


@transaction.atomic
def draft_photos(*, commission: Commission, photos: list[Photo]) -> Draft | None:
    """
    Draft the one letter about photos that were released.

    Effects, in order: photos that a draft tells of already are left out; where a draft waits to be looked
    at, the photos join it; otherwise a draft is written and somebody is asked to look at it. The first three
    are proposed to go along, unless the commission is a surprise or the client wishes for none.
    """
    told = set(Told.objects.filter(photo__in=photos).values_list("photo_id", flat=True))
    fresh = [photo for photo in photos if photo.pk not in told]
    if not fresh:
        return None
    latest = max(photo.released_at for photo in fresh)
    reason = untold(at=latest, commission=commission, progress=True)
    draft = None if reason else next(iter(queries.open_drafts(commission=commission)), None)
    joined = draft is not None
    if not joined:
        subject, said = words.of_photos(
            count=len(fresh), commission=commission, language=commission.client.access.language
        )
        draft = Draft.objects.create(
            cause=f"photo:{fresh[0].pk}",
            commission=commission,
            kind=Kind.PHOTOS,
            subject=subject,
            words=said,
            happened_at=fresh[0].released_at,
            created_at=clock.now(),
            reason=reason,
            state=State.OVERTAKEN if reason else State.OPEN,
        )
    Told.objects.bulk_create([Told(draft=draft, photo=photo) for photo in fresh])
    if queries.may_carry_photos(commission=commission):
        draft.chosen = [*draft.chosen, *(photo.pk for photo in fresh)][:PHOTOS]
        Draft.objects.filter(pk=draft.pk).update(chosen=draft.chosen)
    if not joined and not reason:
        _open(draft=draft)
    return draft
