"""Reads of the check-in and its photographs."""

from __future__ import annotations

from commissions.sourcing.models import CheckIn, Shot, Stone, StonePhoto
from commissions.sourcing.refit import rows


def check_ins(*, stone: Stone) -> list[dict]:
    """What we measured of a stone, the newest first, each with the agreed halo beside the halo it would get."""
    return [
        {"row": row, "fit": rows(row.refit), "problem": (row.refit or {}).get("problem", "")}
        for row in CheckIn.objects.filter(stone=stone).order_by("-id")
    ]


def photos_of(*, stone: Stone):
    """The photographs of a stone, oldest first."""
    return StonePhoto.objects.filter(stone=stone).select_related("picture").order_by("id")


def shots_missing(*, stone: Stone) -> list[str]:
    """What has not been photographed of a stone yet, in words."""
    taken = set(StonePhoto.objects.filter(stone=stone).values_list("shot", flat=True))
    return [label for shot, label in Shot.choices if shot not in taken]


def photo_of(*, stone: Stone, pk: int) -> StonePhoto | None:
    """One photograph of one stone."""
    return photos_of(stone=stone).filter(pk=pk).first()
