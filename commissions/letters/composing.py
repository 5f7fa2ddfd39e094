"""A draft, composed: what the letter would be if it were sent now. Nothing here is written."""

from __future__ import annotations

from django.conf import settings
from django.core.files.storage import default_storage

from commissions.bench.models import Photo
from commissions.letters import queries, stopping
from commissions.letters.models import Draft
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio.outbox.building import PICTURES_BYTES
from studio.outbox.writing import Words, render
from studio.people.models import Person

EDGE = "1000"
"""Rendition that goes along, px: sharp on a dense screen, and light enough for three."""

SHOWN = 560
"""Widest that a picture is shown in a letter, px."""


def letter_of(*, draft: Draft, subject: str, words: str, photos: list[Photo], person: Person) -> dict:
    """What studio.outbox.writing needs for the letter of a draft."""
    access = draft.commission.client.access
    return {
        "name": "news",
        "context": {
            "subject": subject,
            "words": words.strip(),
            "person": str(person),
            "happened_at": draft.happened_at,
            "pictures": [picture_of(photo) for photo in photos],
        },
        "subject_ref": draft.commission.reference,
        "discreet": draft.commission.discreet,
        "language": access.language,
        "zone": access.zone,
        "headers": stopping.headers(access=access, discreet=draft.commission.discreet),
    }


def preview(*, draft: Draft, subject: str, words: str, chosen: list[int], person: Person) -> Words:
    """The letter as it would be sent; a photo that cannot go along any more is simply left out."""
    choosable = {photo.pk: photo for photo in queries.choosable(commission=draft.commission)}
    photos = [choosable[pk] for pk in chosen if pk in choosable]
    about = letter_of(draft=draft, subject=subject, words=words, photos=photos, person=person)
    del about["headers"]
    return render(**about)


def chosen_photos(*, commission: Commission, chosen: list[int]) -> list[Photo]:
    """
    The chosen photos in their order.

    Raises:
        Refused: one of them may not go along, or together they are too heavy.
    """
    choosable = {photo.pk: photo for photo in queries.choosable(commission=commission)}
    if any(pk not in choosable for pk in chosen):
        raise Refused("One of the photos is not released any more. Look at the letter again.")
    photos = [choosable[pk] for pk in chosen]
    if sum(default_storage.size(photo.picture.renditions[EDGE]["jpeg"]) for photo in photos) > PICTURES_BYTES:
        raise Refused("These photos together are too heavy for a letter. Choose fewer.")
    return photos


def picture_of(photo: Photo) -> dict:
    """A photo as the outbox carries it: its file, its words, and how large it is shown."""
    entry = photo.picture.renditions[EDGE]
    shown = min(SHOWN, entry["width"])
    words = photo.caption or str(photo)
    return {
        "file": entry["jpeg"],
        "cid": f"{photo.picture.key}@{settings.LETTER_DOMAIN or 'localhost'}",
        "alt": f"{words} ({photo.scale})" if photo.scale else words,
        "width": entry["width"],
        "height": entry["height"],
        "shown_width": shown,
        "shown_height": round(entry["height"] * shown / entry["width"]),
    }
