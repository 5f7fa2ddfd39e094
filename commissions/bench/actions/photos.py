"""Writes of photographs."""

from __future__ import annotations

from django.db import transaction

from commissions.bench.actions.holding import ask_the_client
from commissions.bench.models import Audience, Photo, Step
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio import clock
from studio.outbox.queue import nudge
from studio.people.models import Person
from studio.pictures.actions import discard
from studio.pictures.models import Picture, State
from studio.trail.actions import record as write_trail


@transaction.atomic
def add_photo(
    *,
    commission: Commission,
    picture: Picture,
    step: Step | None,
    person: Person,
    shot: str = "",
    caption: str = "",
    scale: str = "",
    at=None,
) -> Photo:
    """
    Put a received picture with a job; it is for the studio only until it is released.

    Effects, in order: the photo is written; the trail says so.
    """
    photo = Photo.objects.create(
        commission=commission,
        picture=picture,
        step=step,
        shot=shot,
        caption=caption,
        scale=scale,
        at=at or picture.taken_at or clock.now(),
        person=person,
    )
    write_trail(actor=person, verb="photographed", subject=commission.reference, facts={"photo": photo.pk})
    return photo


@transaction.atomic
def describe_photo(*, photo: Photo, caption: str, scale: str) -> None:
    """
    Say what a photo shows, and how much larger than life.

    Effects: caption and scale are written; a photo that a letter carried keeps its words.

    Raises:
        Refused: a letter has carried it.
    """
    changed = Photo.objects.filter(pk=photo.pk, carried_at__isnull=True).update(caption=caption, scale=scale)
    if changed != 1:
        raise Refused("A letter has taken this photo along; its words stay as they were sent.")


@transaction.atomic
def release_photo(*, photo: Photo, background_checked: bool, person: Person) -> None:
    """
    Let the client see one photo.

    Effects, in order: the photo is released only if it still is internal; where the job waits at a hold point
    for it, the client is asked; the sweep is nudged, which drafts the letter; the trail says so.

    Raises:
        Refused: nobody has looked at the background, it has no caption, or it is not prepared yet.
    """
    missing = []
    if not background_checked:
        missing.append("Look at the whole photo at full size and tick that its background is fit to be seen.")
    if not photo.caption:
        missing.append("Say in a few words what the photo shows.")
    if photo.picture.state != State.READY:
        missing.append(photo.picture.refusal or "The photo is still being prepared.")
    if missing:
        raise Refused(*missing)
    changed = Photo.objects.filter(pk=photo.pk, audience=Audience.INTERNAL, removed_at__isnull=True).update(
        audience=Audience.CLIENT, background_checked=True, released_at=clock.now(), released_by=person
    )
    if changed != 1:
        raise Refused("This photo is released already.")
    ask_the_client(commission=photo.commission)
    nudge()
    write_trail(
        actor=person, verb="released a photo", subject=photo.commission.reference, facts={"photo": photo.pk}
    )


@transaction.atomic
def withdraw_photo(*, photo: Photo, person: Person) -> None:
    """
    Take a released photo back, as long as no letter has carried it.

    Effects, in order: the photo is internal again; the trail says so.

    Raises:
        Refused: a letter has carried it, or it is not released.
    """
    changed = Photo.objects.filter(pk=photo.pk, audience=Audience.CLIENT, carried_at__isnull=True).update(
        audience=Audience.INTERNAL, background_checked=False, released_at=None, released_by=None
    )
    if changed != 1:
        raise Refused("A letter has taken this photo along: it cannot be withdrawn any more.")
    write_trail(
        actor=person, verb="withdrew a photo", subject=photo.commission.reference, facts={"photo": photo.pk}
    )


@transaction.atomic
def mark_carried(*, photos: list[Photo]) -> int:
    """
    Note that a letter has taken these photos along; how many it was the first to take.

    Effects: the moment is written where none was.
    """
    return Photo.objects.filter(
        pk__in=[photo.pk for photo in photos], audience=Audience.CLIENT, carried_at__isnull=True
    ).update(carried_at=clock.now())


@transaction.atomic
def remove_photo(*, photo: Photo, person: Person) -> None:
    """
    Take back a photo that was never released.

    Effects, in order: the photo is marked removed and shown nowhere; the trail says so.

    Raises:
        Refused: it was released.
    """
    changed = Photo.objects.filter(pk=photo.pk, audience=Audience.INTERNAL, removed_at__isnull=True).update(
        removed_at=clock.now()
    )
    if changed != 1:
        raise Refused("A released photo has to be withdrawn first.")
    write_trail(
        actor=person, verb="removed a photo", subject=photo.commission.reference, facts={"photo": photo.pk}
    )


def forget(*, picture: Picture) -> None:
    """
    Drop a picture that became no photo, because its act was a repeat or was refused.

    Effects: row and files of the picture go.
    """
    discard(picture=picture)
