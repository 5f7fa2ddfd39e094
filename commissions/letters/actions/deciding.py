"""What a person of the studio decides about a draft."""

from __future__ import annotations

from django.db import transaction

from commissions.bench.actions import mark_carried
from commissions.bench.models import Photo
from commissions.letters import composing, queries
from commissions.letters.actions.drafting import close_drafts, question_key
from commissions.letters.discretion import discreet_words
from commissions.letters.models import Draft, State, Wish
from commissions.record import actions as record
from commissions.record.errors import Refused
from commissions.record.models import Commission, Message
from studio import clock
from studio.outbox import actions as outbox
from studio.outbox.models import Letter
from studio.outbox.writing import write
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

GONE = "Somebody has decided about this letter in the meantime. Look at it again."


def keep(*, draft: Draft, subject: str, words: str, chosen: list[int]) -> None:
    """
    Keep what was typed, without sending it.

    Effects, in order: subject, words and chosen photos are written if the draft still is open.

    Raises:
        Refused: somebody has decided about it in the meantime.
    """
    changed = Draft.objects.filter(pk=draft.pk, state=State.OPEN).update(
        subject=subject, words=words, chosen=chosen
    )
    if changed != 1:
        raise Refused(GONE)
    draft.subject, draft.words, draft.chosen = subject, words, chosen


def send(*, draft: Draft, subject: str, words: str, chosen: list[int], person: Person) -> Letter:
    """
    Send the letter of an event.

    Effects, in order: a surprise is read for words that would give it away; the draft is closed as sent if
    it still is open; the chosen photos are marked as carried, and only those that are released at this
    moment; an earlier letter about the same commission that has not gone out yet is withdrawn; the letter is
    put into the outbox; the question to look at it is answered; the trail says so.

    Raises:
        Refused: a telling word, a photo that is not released any more, pictures that are too heavy, or
            somebody has decided about it in the meantime.
    """
    commission = draft.commission
    if commission.discreet:
        telling = discreet_words(f"{subject}\n{words}")
        if telling:
            raise Refused(f"This is a surprise. Leave out: {', '.join(telling)}.")
        if chosen:
            raise Refused("This is a surprise: no photo may go along.")
    # The files are weighed before the transaction: nothing waits for a disk while rows are locked.
    photos = composing.chosen_photos(commission=commission, chosen=chosen)
    about = composing.letter_of(draft=draft, subject=subject, words=words, photos=photos, person=person)
    with transaction.atomic():
        now = clock.now()
        changed = Draft.objects.filter(pk=draft.pk, state=State.OPEN).update(
            state=State.SENT,
            subject=subject,
            words=words,
            chosen=[photo.pk for photo in photos],
            decided_at=now,
            decided_by=str(person),
        )
        if changed != 1:
            raise Refused(GONE)
        mark_carried(photos=photos)
        still = Photo.objects.filter(
            pk__in=[photo.pk for photo in photos], carried_at__isnull=False, removed_at__isnull=True
        ).count()
        if still != len(photos):
            raise Refused("One of the photos is not released any more. Look at the letter again.")
        for earlier in queries.unsent_before(draft=draft):
            outbox.withdraw(letter=earlier.letter, reason="A later letter tells of it.")
        letter = write(
            **about,
            to=commission.client.access.email,
            dedupe_key=draft.cause,
            pictures=about["context"]["pictures"],
        )
        Draft.objects.filter(pk=draft.pk).update(letter=letter)
        record.answer_question(commission=commission, key=question_key(draft), by_words=str(person))
        write_trail(
            actor=person,
            verb="sent a letter",
            subject=commission.reference,
            facts={"cause": draft.cause, "letter": letter.pk, "photos": [photo.pk for photo in photos]},
        )
    return letter


@transaction.atomic
def decline(*, draft: Draft, person: Person) -> None:
    """
    Decide that no letter goes out about an event; it is never drafted again.

    Effects, in order: the draft is closed if it still is open; the question to look at it is answered; the
    trail says so.

    Raises:
        Refused: somebody has decided about it in the meantime.
    """
    closed = close_drafts(drafts=[draft], state=State.DECLINED, by_words=str(person), reason="")
    if not closed:
        raise Refused(GONE)
    write_trail(
        actor=person, verb="sent no letter", subject=draft.commission.reference, facts={"cause": draft.cause}
    )


@transaction.atomic
def file_reply(*, commission: Commission, body: str, person: Person) -> Message:
    """
    Put what a client answered by letter into the thread, so that it is with everything else they said.

    Effects, in order: the message is written as the client's, which asks us to answer it; the trail says
    who filed it.
    """
    message = record.post_message(commission=commission, body=body, from_client=True)
    write_trail(
        actor=person, verb="filed a reply", subject=commission.reference, facts={"message": message.pk}
    )
    return message


@transaction.atomic
def wish(
    *, access: ClientAccess, by_words: str, photos: bool | None = None, progress: bool | None = None
) -> None:
    """
    Note what a client wishes of our letters; what is None stays as it was.

    Effects, in order: the wish is written; where photos are not wanted, open drafts lose theirs; where
    letters about progress are not wanted, open drafts about it are closed; the trail says so.
    """
    wished = {"photos": photos, "progress": progress}
    wished = {key: value for key, value in wished.items() if value is not None}
    Wish.objects.update_or_create(access=access, defaults=wished)
    drafts = Draft.objects.filter(commission__client__access=access, state=State.OPEN).select_related(
        "commission"
    )
    if photos is False:
        drafts.update(chosen=[])
    if progress is False:
        close_drafts(
            drafts=list(drafts),
            state=State.OVERTAKEN,
            by_words=by_words,
            reason="The client wants no letters about progress.",
        )
    write_trail(
        actor=by_words, verb="noted a wish about letters", subject=f"client:{access.pk}", facts=wished
    )
