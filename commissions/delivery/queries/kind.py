"""Reads of kind words: who may be asked, what may be shown."""

from __future__ import annotations

import datetime
from dataclasses import dataclass

from django.db.models import Exists, OuterRef, Q

from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.models import Photo
from commissions.bench.queries import released_photos
from commissions.delivery.models import Consent, KindWords, Shipment
from commissions.record.models import Commission, Question
from commissions.record.route import Stage, State
from studio import clock

KEY = "kind.words"
ASK_AFTER_DAYS = 45
"""How long after the arrival kind words are asked for, days: the month's check lies behind. Common practice, no source."""
PROBLEMS = Q(key__startswith="worry:") | Q(key__startswith="advice:") | Q(key="message")
"""Open questions that mean something is not well, or that nobody has answered the client."""


def to_be_asked() -> list[Commission]:
    """
    Whose client may be asked for kind words now.

    The ring has arrived a while ago, is no surprise, nobody has asked before, and nothing is open: no worry,
    no advice that is not followed, no message without an answer, no small job under way.
    """
    questions = Question.objects.filter(commission=OuterRef("pk"))
    arrived = Shipment.objects.filter(
        commission=OuterRef("pk"),
        arrived_at__lte=clock.now() - datetime.timedelta(days=ASK_AFTER_DAYS),
    )
    jobs = Commission.objects.filter(ring=OuterRef("pk"), state=State.OPEN).exclude(stage=Stage.CARE)
    return list(
        Commission.objects.filter(
            Exists(arrived), stage=Stage.CARE, state=State.OPEN, discreet=False, ring__isnull=True
        )
        .exclude(Exists(questions.filter(key=KEY)))
        .exclude(Exists(questions.filter(PROBLEMS, answered_at__isnull=True)))
        .exclude(Exists(jobs))
        .select_related("client__access")[:100]
    )


def is_asked(*, commission: Commission) -> bool:
    """Whether the client is asked for kind words now."""
    return Question.objects.filter(commission=commission, key=KEY, answered_at__isnull=True).exists()


def kind_words_of(*, commission: Commission) -> KindWords | None:
    """What the client said, if they did."""
    return KindWords.objects.filter(commission=commission).first()


def choosable_photos(*, commission: Commission) -> list[Photo]:
    """Photographs that the client has seen and may give free: released, prepared, the fixed set of the finished ring first."""
    rows = [row for row in released_photos(commission=commission) if row.picture.is_ready]
    order = {shot: place for place, (shot, _words) in enumerate(FINAL_SHOTS)}
    return sorted(rows, key=lambda row: (order.get(row.shot, len(order)), -row.pk))


@dataclass(frozen=True, kw_only=True)
class Shown:
    """Kind words with what the newest consents allow today; ``photos`` are those that may be seen."""

    row: KindWords
    words_free: bool
    not_before: datetime.date | None
    photos: list[Photo]
    is_public: bool
    wanted: bool


def _newest(rows) -> dict[int | None, Consent]:
    newest: dict[int | None, Consent] = {}
    for row in sorted(rows, key=lambda row: row.pk):
        newest[row.photo_id] = row
    return newest


def _free(consent: Consent | None, today: datetime.date) -> bool:
    return bool(consent and consent.given and (consent.not_before is None or consent.not_before <= today))


def as_shown(row: KindWords) -> Shown:
    """What of these kind words may be seen today. Needs consents, photos and showings prefetched to be cheap."""
    today = clock.today()
    newest = _newest(row.consents.all())
    words = newest.get(None)
    wanted = max(row.showings.all(), key=lambda showing: showing.pk, default=None)
    free = _free(words, today)
    photos = [
        consent.photo
        for key, consent in newest.items()
        if key is not None and _free(consent, today) and _may_be_seen(consent.photo)
    ]
    return Shown(
        row=row,
        words_free=free,
        not_before=words.not_before if words and words.given else None,
        photos=photos,
        wanted=bool(wanted and wanted.shown),
        is_public=bool(wanted and wanted.shown and free and not row.commission.discreet),
    )


def _may_be_seen(photo: Photo) -> bool:
    # A photo that was taken back or made internal again is nobody's to see, whatever was agreed to before.
    return photo.audience == "client" and photo.removed_at is None and photo.picture.is_ready


def _rows():
    return (
        KindWords.objects.select_related("commission__client")
        .prefetch_related("showings", "consents__photo__picture")
        .order_by("-id")
    )


def all_kind_words() -> list[Shown]:
    """Everything that clients have said, newest first, for the studio."""
    return [as_shown(row) for row in _rows()[:200]]


def public_kind_words() -> list[Shown]:
    """What stands on the public page today, newest first."""
    rows = _rows().filter(commission__discreet=False)[:200]
    return [shown for row in rows if (shown := as_shown(row)).is_public]


def public_photo(*, pk: int) -> Photo | None:
    """A photograph that everybody may see today; None otherwise."""
    row = _rows().filter(consents__photo=pk, commission__discreet=False).first()
    if row is None:
        return None
    shown = as_shown(row)
    return next((photo for photo in shown.photos if photo.pk == pk), None) if shown.is_public else None


def consents_now(*, row: KindWords) -> dict[int | None, Consent]:
    """The newest consent of the words (under None) and of each photograph."""
    return _newest(row.consents.select_related("photo__picture"))
