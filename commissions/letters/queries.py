"""Reads about letters and their drafts."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db.models import Exists, OuterRef

from commissions.bench.models import Photo
from commissions.bench.queries import photos_without_letter, released_photos
from commissions.letters.models import Draft, Failure, Kind, State, Wish
from commissions.record.models import Commission, Message, Question, StageMove
from commissions.record.route import State as Life
from commissions.record.route import Turn
from studio import clock
from studio.outbox import queries as outbox
from studio.outbox.models import FAILED, UNSENT
from studio.outbox.models import State as Post

BATCH = 200


def moves_without_draft() -> list[StageMove]:
    """Moves that no draft tells of yet, oldest first."""
    return list(
        StageMove.objects.filter(draft__isnull=True)
        .select_related("commission__client__access")
        .order_by("id")[:BATCH]
    )


def photos_by_commission() -> list[tuple[Commission, list[Photo]]]:
    """Released photos that no draft tells of yet, by commission and in order."""
    found: dict[int, tuple[Commission, list[Photo]]] = {}
    rows = photos_without_letter().filter(told__isnull=True).select_related("commission__client__access")
    for photo in rows[:BATCH]:
        found.setdefault(photo.commission_id, (photo.commission, []))[1].append(photo)
    return list(found.values())


def questions_without_draft() -> list[Question]:
    """Questions to the client that no letter tells of yet, oldest first."""
    return list(
        Question.objects.filter(addressee=Turn.CLIENT, draft__isnull=True)
        .select_related("commission__client__access")
        .order_by("id")[:BATCH]
    )


def messages_without_draft() -> list[Message]:
    """Messages of ours that no letter tells of yet, oldest first."""
    return list(
        Message.objects.filter(from_client=False, draft__isnull=True)
        .select_related("commission__client__access", "person")
        .order_by("id")[:BATCH]
    )


def is_overtaken(*, move: StageMove) -> bool:
    """Whether the commission has moved again since."""
    return StageMove.objects.filter(commission_id=move.commission_id, pk__gt=move.pk).exists()


def open_drafts(*, commission: Commission) -> list[Draft]:
    """
    Drafts that somebody has yet to look at, newest first; locked, so that nobody decides meanwhile.

    To be called in a transaction.
    """
    return list(
        Draft.objects.select_for_update(of=("self",))
        .filter(commission=commission, state=State.OPEN)
        .select_related("commission", "move")
    )


def drafts_of_the_withdrawn() -> list[Draft]:
    """Open drafts of commissions that were withdrawn: there is nothing to tell any more."""
    return list(
        Draft.objects.filter(state=State.OPEN, commission__state=Life.WITHDRAWN).select_related("commission")[
            :BATCH
        ]
    )


def draft_of(*, commission: Commission, pk: int) -> Draft | None:
    """One draft of this commission, and of no other."""
    return (
        Draft.objects.filter(commission=commission, pk=pk)
        .select_related("commission__client__access", "letter", "move")
        .first()
    )


def question_of_move(*, move: StageMove, within: datetime.timedelta) -> bool:
    """Whether the act that made this move also asked the client something."""
    return Question.objects.filter(
        commission_id=move.commission_id,
        addressee=Turn.CLIENT,
        opened_at__range=(move.at - within, move.at + within),
    ).exists()


def draft_of_same_act(*, question: Question, within: datetime.timedelta) -> Draft | None:
    """The draft about the move that was made by the act which asked this question, if there is one."""
    return (
        Draft.objects.filter(
            commission_id=question.commission_id,
            move__at__range=(question.opened_at - within, question.opened_at + within),
        )
        .order_by("-id")
        .first()
    )


def told_lately(*, commission: Commission, kind: str, within: datetime.timedelta) -> bool:
    """Whether a letter of this kind went out within this time, and what it told of still waits."""
    return (
        Draft.objects.filter(
            commission=commission, kind=kind, state=State.SENT, decided_at__gte=clock.now() - within
        )
        .exclude(message__seen_at__isnull=False)
        .exclude(question__answered_at__isnull=False)
        .exists()
    )


def may_carry_photos(*, commission: Commission) -> bool:
    """Whether a letter may show pictures: never for a surprise, never against the client's wish."""
    return not commission.discreet and wishes_photos(commission=commission)


def wishes_photos(*, commission: Commission) -> bool:
    """Whether the client wants photos in their letters; without a word from them, yes."""
    wish = Wish.objects.filter(access=commission.client.access_id).first()
    return wish is None or wish.photos


def wishes_progress(*, commission: Commission) -> bool:
    """Whether the client wants letters about progress; without a word from them, yes."""
    wish = Wish.objects.filter(access=commission.client.access_id).first()
    return wish is None or wish.progress


def choosable(*, commission: Commission) -> list[Photo]:
    """Photos that may go along: released, prepared, newest first; none where letters carry no pictures."""
    if not may_carry_photos(commission=commission):
        return []
    return [
        photo for photo in released_photos(commission=commission).order_by("-id") if photo.picture.is_ready
    ]


def sent_within(*, commission: Commission, within: datetime.timedelta) -> datetime.datetime | None:
    """When the last letter that a person sent about this commission went out, if within this time."""
    return (
        Draft.objects.filter(
            commission=commission, state=State.SENT, move__isnull=False, decided_at__gte=clock.now() - within
        )
        .order_by("-decided_at")
        .values_list("decided_at", flat=True)
        .first()
    )


def unsent_before(*, draft: Draft) -> list[Draft]:
    """Earlier drafts of the commission, sent by a person, whose letter nobody has received."""
    return list(
        Draft.objects.filter(
            commission=draft.commission_id,
            pk__lt=draft.pk,
            letter__state__in=UNSENT,
            kind__in=[Kind.NEWS, Kind.PHOTOS],
        ).select_related("letter")
    )


@dataclass(frozen=True, kw_only=True)
class About:
    """One line of a commission's letters: a draft, a letter, or a draft that has become a letter."""

    words: str
    event: str
    at: datetime.datetime
    state: str
    failed: bool
    waiting: bool
    error: str
    draft_pk: int | None
    letter_pk: int | None


def about(*, commission: Commission) -> list[About]:
    """Every draft and letter of a commission, newest first; two queries, however many there are."""
    drafts = list(Draft.objects.filter(commission=commission).select_related("letter", "move"))
    rows = [_of_draft(draft) for draft in drafts]
    known = {draft.letter_id for draft in drafts}
    rows += [
        About(
            words=letter.subject,
            event="",
            at=letter.created_at,
            state=letter.get_state_display(),
            failed=letter.failed,
            waiting=False,
            error=letter.error,
            draft_pk=None,
            letter_pk=letter.pk,
        )
        for letter in outbox.about(subject_ref=commission.reference)
        if letter.pk not in known
    ]
    return sorted(rows, key=lambda row: row.at, reverse=True)


def _of_draft(draft: Draft) -> About:
    letter = draft.letter
    return About(
        words=draft.subject,
        event=draft.event,
        at=draft.decided_at or draft.created_at,
        state=letter.get_state_display() if letter else draft.get_state_display(),
        failed=bool(letter and letter.failed),
        waiting=draft.open,
        error=letter.error if letter else draft.reason,
        draft_pk=draft.pk,
        letter_pk=letter.pk if letter else None,
    )


def failed_letters() -> list:
    """Letters about a commission that did not arrive and are not shown on their job yet."""
    known = Commission.objects.filter(reference=OuterRef("subject_ref"))
    return list(
        outbox.with_state(states=FAILED).filter(Exists(known), failure__isnull=True).order_by("id")[:BATCH]
    )


def failures_over() -> list[Failure]:
    """Failures whose letter has gone out after all, or was withdrawn."""
    return list(
        Failure.objects.filter(settled_at__isnull=True)
        .exclude(letter__state__in=[*FAILED, Post.WAITING, Post.LEASED])
        .select_related("letter", "commission")[:BATCH]
    )


def commissions_by_reference(*, references: set[str]) -> dict[str, Commission]:
    """Commissions with these references."""
    return {row.reference: row for row in Commission.objects.filter(reference__in=references)}
