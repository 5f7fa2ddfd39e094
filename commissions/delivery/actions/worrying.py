"""Writes of what worries a client, and of what we say to it."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction

from commissions.delivery.models import Advice, CarePhoto, Choice, Sign, Worry
from commissions.delivery.paths import client_path, studio_path
from commissions.delivery.safety import FIRST
from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, State, Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.pictures.models import Picture
from studio.trail.actions import record as write_trail

MOST_PHOTOS = 4


def worry_key(worry: Worry) -> str:
    """Under which we are asked to answer it."""
    return f"worry:{worry.pk}"


def advice_key(worry: Worry) -> str:
    """Under which the client is asked to read our answer, or to send the ring."""
    return f"advice:{worry.pk}"


@transaction.atomic
def raise_worry(
    *,
    commission: Commission,
    sign: str,
    words: str,
    pictures: Iterable[Picture],
    access: ClientAccess,
) -> Worry:
    """
    Keep what worries a client about the ring they wear.

    Effects, in order: the worry is written with its photographs; the question to answer it is opened to us,
    for the next working day where the ring must not be worn; the trail says so.

    Raises:
        Refused: the ring is not with its wearer, or neither words nor a photograph say what is seen.
    """
    pictures = list(pictures)
    if commission.stage != Stage.CARE or commission.state != State.OPEN:
        raise Refused("This is for a ring that is with its wearer. Write us a message instead.")
    if not pictures and not words.strip():
        raise Refused("Send a photograph, or say in a few words what you see.")
    worry = Worry.objects.create(
        commission=commission, sign=sign, words=words.strip(), access=access, at=clock.now()
    )
    for picture in pictures[:MOST_PHOTOS]:
        CarePhoto.objects.create(
            commission=commission,
            worry=worry,
            picture=picture,
            by_words=commission.client.full_name,
            at=worry.at,
        )
    open_question(
        commission=commission,
        key=worry_key(worry),
        addressee=Turn.US,
        words=f"Look at what worries the client: {Sign(sign).label}"[:200],
        client_words="We look at what worries you, and answer",
        path=f"{studio_path(commission)}worry/{worry.pk}/",
        client_path=f"{client_path(commission, 'care')}worry/{worry.pk}/",
        due_on=clock.add_working_days(clock.today(), 1 if FIRST[sign].urgent else 2),
    )
    write_trail(
        actor=f"client:{access.pk}",
        verb="said what worries them",
        subject=commission.reference,
        facts={"sign": sign, "photos": len(pictures)},
    )
    return worry


@transaction.atomic
def advise(*, worry: Worry, choice: str, words: str, person: Person) -> Advice:
    """
    Answer a worry with one of three plain choices.

    Effects, in order: the advice is added, and the newest counts; our question is answered; the client is asked
    to read it (it blocks nothing where they may wear on), which gives it its letter; the trail says so.

    Raises:
        Refused: no words, or *wear on* for a stone that is missing.
    """
    if not words.strip():
        raise Refused("Say in a sentence what you see and why.")
    if choice == Choice.WEAR and worry.sign == Sign.MISSING:
        raise Refused(Missing(words="A ring with a stone missing is not worn on: its neighbours are loose."))
    advice = Advice.objects.create(
        worry=worry, choice=choice, words=words.strip(), person=person, at=clock.now()
    )
    commission = worry.commission
    answer_question(commission=commission, key=worry_key(worry), by_words=str(person))
    open_question(
        commission=commission,
        key=advice_key(worry),
        addressee=Turn.CLIENT,
        words="Read our answer" if choice != Choice.SEND else "Send the ring to us",
        client_words="Read our answer about your ring",
        path=f"{studio_path(commission)}worry/{worry.pk}/",
        client_path=f"{client_path(commission, 'care')}worry/{worry.pk}/",
        due_on=clock.add_working_days(clock.today(), 3),
        blocking=choice != Choice.WEAR,
    )
    write_trail(
        actor=person,
        verb="advised",
        subject=commission.reference,
        facts={"choice": choice, "worry": worry.pk},
    )
    return advice


def advice_was_read(*, worry: Worry) -> bool:
    """
    Note that the client has opened our answer; a ring that is to be sent stays asked for until a job is opened.

    Effects: the client's question is answered, unless the newest advice is to send the ring.
    """
    newest = worry.advice.order_by("-id").first()
    if newest is None or newest.choice == Choice.SEND:
        return False
    return answer_question(
        commission=worry.commission, key=advice_key(worry), by_words=worry.commission.client.full_name
    )
