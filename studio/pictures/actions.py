"""Writes of pictures: take one in, make its renditions."""

from __future__ import annotations

import datetime
import logging
import secrets

from django.conf import settings
from django.core.files.base import ContentFile, File
from django.core.files.storage import storages
from django.db import transaction
from django.db.models import F, Q

from studio import clock
from studio.outbox.queue import nudge
from studio.pictures.decoding import NAMES, look
from studio.pictures.errors import PictureRefused
from studio.pictures.models import Picture, State
from studio.pictures.rendering import renditions

LEASE = datetime.timedelta(seconds=150)
TRIES = 3
log = logging.getLogger(__name__)


def receive(*, upload, kind: str, person_words: str) -> Picture:
    """
    Take in one picture. Call it outside a transaction where you can: it writes a file.

    Effects, in order: the file is checked by decoding it; the original is written to the store that
    nothing serves; the picture is written; a worker is asked for its renditions at commit.

    Args:
        upload: An uploaded file (or anything with ``read``, ``seek`` and ``name``).
        kind: What it belongs to, such as ``brief`` or ``bench``.
        person_words: Who sent it, in words.

    Raises:
        PictureRefused: with words for the sender; nothing is left behind.
    """
    file = getattr(upload, "file", upload)
    seen = look(file=file, name=getattr(upload, "name", "") or "")
    store = storages["originals"]
    name = store.save(f"{secrets.token_hex(16)}.{NAMES[seen.format].lower()}", File(file))
    try:
        with transaction.atomic():
            picture = Picture.objects.create(
                key=secrets.token_urlsafe(18),
                kind=kind,
                original=name,
                sha256=seen.sha256,
                bytes=seen.bytes,
                width=seen.width,
                height=seen.height,
                taken_at=seen.taken_at,
                made_at=clock.now(),
                by_words=person_words[:160],
            )
            _ask_for(picture.pk)
    except BaseException:
        store.delete(name)
        raise
    return picture


def _ask_for(pk: int) -> None:
    if not settings.SERVED:
        nudge()
        return

    def publish():
        from studio.pictures.tasks import render

        try:
            render.apply_async((pk,), retry=False)
        except Exception:
            # No loss: the sweep reads the same row from the database.
            log.warning("The broker could not be asked to render a picture.", exc_info=True)

    transaction.on_commit(publish, robust=True)


def render(*, pk: int) -> bool:
    """
    Make the renditions of one picture; False where somebody else has it or it is done.

    Effects, in order: the picture is claimed with a lease; the files are made and written under names
    that a repeat overwrites; the picture is marked ready (or refused, with the reason). Nothing happens
    inside a transaction, so that a worker that is killed leaves a row the sweep finds again.
    """
    now = clock.now()
    claimed = (
        Picture.objects.filter(pk=pk, state=State.RECEIVED)
        .filter(Q(claimed_until__isnull=True) | Q(claimed_until__lt=now))
        .update(claimed_until=now + LEASE, tries=F("tries") + 1)
    )
    if claimed != 1:
        return False
    picture = Picture.objects.get(pk=pk)
    if picture.tries > TRIES:
        _refuse(picture=picture, words="This picture could not be prepared. Please send it again as JPEG.")
        return False
    try:
        made = _write(picture)
    except (PictureRefused, MemoryError) as error:
        words = getattr(
            error, "words", "This picture is too large to be prepared here. Please send a smaller one."
        )
        _refuse(picture=picture, words=words)
        return False
    Picture.objects.filter(pk=pk, state=State.RECEIVED).update(
        state=State.READY, renditions=made, claimed_until=None
    )
    return True


def _write(picture: Picture) -> dict:
    shelf, made = storages["default"], {}
    with storages["originals"].open(picture.original) as file:
        for row in renditions(file=file):
            entry = {"width": row.width, "height": row.height}
            for ending, body in (("webp", row.webp), ("jpeg", row.jpeg)):
                name = f"pictures/{_stem(picture)}-{row.edge}.{ending}"
                shelf.delete(name)
                entry[ending] = shelf.save(name, ContentFile(body))
            made[str(row.edge)] = entry
    return made


def _stem(picture: Picture) -> str:
    return picture.original.partition(".")[0]


def _refuse(*, picture: Picture, words: str) -> None:
    Picture.objects.filter(pk=picture.pk, state=State.RECEIVED).update(
        state=State.REFUSED, refusal=words, claimed_until=None
    )
    storages["originals"].delete(picture.original)


@transaction.atomic
def discard(*, picture: Picture) -> None:
    """
    Remove a picture that its sender took back before anything was made of it.

    Effects, in order: the row goes; at commit its files go.
    """
    names = [entry[ending] for entry in picture.renditions.values() for ending in ("webp", "jpeg")]
    original = picture.original
    Picture.objects.filter(pk=picture.pk).delete()

    def remove():
        storages["originals"].delete(original)
        for name in names:
            storages["default"].delete(name)

    transaction.on_commit(remove, robust=True)
