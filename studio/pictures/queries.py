"""Reads of pictures."""

from __future__ import annotations

from django.core.files.storage import storages
from django.db.models import Q

from studio import clock
from studio.pictures.models import Picture, State


def waiting(*, limit: int = 60) -> list[int]:
    """Keys of pictures whose renditions are to be made, oldest first."""
    return list(
        Picture.objects.filter(state=State.RECEIVED)
        .filter(Q(claimed_until__isnull=True) | Q(claimed_until__lt=clock.now()))
        .order_by("id")
        .values_list("pk", flat=True)[:limit]
    )


def rendition(*, picture: Picture, edge: int, ending: str = "jpeg") -> bytes | None:
    """The bytes of one rendition (``jpeg`` or ``webp``), or None while it is not ready: for letters and papers."""
    entry = picture.renditions.get(str(edge))
    if not entry:
        return None
    with storages["default"].open(entry[ending]) as file:
        return file.read()
