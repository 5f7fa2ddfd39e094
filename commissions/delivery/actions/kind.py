"""Writes of kind words: asked once, given, shown, taken down."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.delivery.models import Consent, KindWords, NameForm, Showing
from commissions.delivery.paths import client_path
from commissions.delivery.queries import choosable_photos, is_asked, kind_words_of, to_be_asked
from commissions.delivery.queries.kind import KEY
from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission, Question
from commissions.record.route import Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

WAIT_DAYS = 30
"""How long the one question stays open, days; then it is closed and never asked again."""

WORDS_TEXT = (
    "These words may stand on the studio's public page, under the name that I chose, from {day} on. "
    "I can take them down at any time."
)
PHOTO_TEXT = (
    "This photograph may stand beside my words on the studio's public page from {day} on. "
    "I can take it down at any time."
)
DOWN_TEXT = "It is to be taken down."


def name_for(*, full_name: str, form: str) -> str:
    """
    How a client is called beside their words.

    >>> name_for(full_name="Runa Fjelltoft", form="initials")
    'R. F.'
    >>> name_for(full_name="Runa Fjelltoft", form="first")
    'Runa'
    """
    names = full_name.replace("-", " ").split()
    return {
        NameForm.FULL: full_name,
        NameForm.FIRST: full_name.split()[0] if names else "",
        NameForm.INITIALS: " ".join(f"{name[0]}." for name in names),
    }.get(form, "")


def ask_due_kind_words() -> int:
    """
    Ask the clients who may be asked for kind words now, each once; how many were asked.

    Effects, in order: a question that nobody answered within a month is closed for good; for each that may be
    asked the client's question is opened, which gives it its letter.
    """
    before = clock.now() - datetime.timedelta(days=WAIT_DAYS)
    old = Question.objects.filter(key=KEY, answered_at__isnull=True, opened_at__lt=before)
    for question in old.select_related("commission")[:100]:
        answer_question(commission=question.commission, key=KEY, by_words="the studio's clock")
    rows = to_be_asked()
    for commission in rows:
        open_question(
            commission=commission,
            key=KEY,
            addressee=Turn.CLIENT,
            words="The client is asked for kind words, once",
            client_words="Would you say a few words about your ring?",
            path=f"/studio/commissions/{commission.reference}/delivery/",
            client_path=client_path(commission, "care/words"),
            due_on=clock.today() + datetime.timedelta(days=WAIT_DAYS),
            blocking=False,
        )
    return len(rows)


@transaction.atomic
def give_kind_words(
    *,
    commission: Commission,
    words: str,
    name_form: str,
    public: bool,
    photos: list[int],
    not_before: datetime.date | None,
    access: ClientAccess,
) -> KindWords:
    """
    Keep what a client says about their ring, and what of it may be public.

    Effects, in order: the words are written; where they may be public a consent of the words and of every chosen
    photograph is added with its day; the client's question is answered and we are asked to read them; the trail
    says so.

    Raises:
        Refused: nobody asked, it was said already, or a photograph is not one they were shown.
    """
    if not is_asked(commission=commission):
        raise Refused("There is nothing to answer here any more. Write us a message instead.")
    if kind_words_of(commission=commission):
        raise Refused("You have told us already.")
    known = {photo.pk: photo for photo in choosable_photos(commission=commission)}
    if any(pk not in known for pk in photos):
        raise Refused("One of the photographs is not there any more. Choose again.")
    row = KindWords.objects.create(
        commission=commission,
        words=words.strip(),
        name_form=name_form,
        shown_name=name_for(full_name=commission.client.full_name, form=name_form),
        access=access,
        at=clock.now(),
    )
    if public:
        for photo in (None, *(known[pk] for pk in dict.fromkeys(photos))):
            _consent(row=row, photo=photo, given=True, not_before=not_before, access=access)
    answer_question(commission=commission, key=KEY, by_words=commission.client.full_name)
    open_question(
        commission=commission,
        key="kind.read",
        addressee=Turn.US,
        words="Read the client's kind words",
        client_words="Thank you for your words",
        path="/studio/kind-words/",
        due_on=clock.add_working_days(clock.today(), 5),
        blocking=False,
    )
    write_trail(
        actor=f"client:{access.pk}",
        verb="gave kind words",
        subject=commission.reference,
        facts={"public": public, "photos": photos if public else []},
    )
    return row


def _consent(*, row: KindWords, photo, given: bool, not_before, access: ClientAccess) -> Consent:
    day = not_before or clock.today()
    text = (PHOTO_TEXT if photo else WORDS_TEXT).format(day=f"{day:%-d %B %Y}") if given else DOWN_TEXT
    return Consent.objects.create(
        kind_words=row,
        photo=photo,
        given=given,
        not_before=day if given else None,
        text=text,
        access=access,
        at=clock.now(),
    )


@transaction.atomic
def change_consent(
    *,
    row: KindWords,
    photo_pk: int | None,
    given: bool,
    access: ClientAccess,
    not_before: datetime.date | None = None,
) -> Consent:
    """
    Take down the words or one photograph, or allow it again.

    Effects, in order: the consent is added, and the newest counts from this moment on; the trail says so.

    Raises:
        Refused: there is no such photograph to allow.
    """
    photo = None
    if photo_pk is not None:
        photo = {row.pk: row for row in choosable_photos(commission=row.commission)}.get(photo_pk)
        if photo is None and not given:
            standing = row.consents.filter(photo=photo_pk).select_related("photo").first()
            photo = standing and standing.photo
        if photo is None:
            raise Refused("This photograph is not there any more.")
    consent = _consent(row=row, photo=photo, given=given, not_before=not_before, access=access)
    write_trail(
        actor=f"client:{access.pk}",
        verb="allowed" if given else "took down",
        subject=row.commission.reference,
        facts={"photo": photo_pk, "kind words": row.pk},
    )
    return consent


@transaction.atomic
def decline_kind_words(*, commission: Commission) -> bool:
    """
    Note that the client would rather not; they are never asked again.

    Effects: the question is answered.
    """
    return answer_question(commission=commission, key=KEY, by_words=commission.client.full_name)


@transaction.atomic
def show_kind_words(*, row: KindWords, shown: bool, person: Person) -> Showing:
    """
    Put kind words on our public page, or take them down.

    Effects, in order: the showing is added, and the newest counts; the question to read them is answered; the trail
    says so. What the client does not allow is not shown, whatever we choose.
    """
    showing = Showing.objects.create(kind_words=row, shown=shown, person=person, at=clock.now())
    answer_question(commission=row.commission, key="kind.read", by_words=str(person))
    write_trail(
        actor=person,
        verb="showed kind words" if shown else "took kind words down",
        subject=row.commission.reference,
    )
    return showing
