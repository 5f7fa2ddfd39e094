"""Reads of photographs."""

from __future__ import annotations

from django.db.models import Q

from commissions.bench.defaults import FINAL_SHOTS
from commissions.bench.models import Audience, Photo
from commissions.bench.queries.jobs import current_step
from commissions.record.models import Commission


def photos(*, commission: Commission):
    """Every photo of a job that was not taken back, in order."""
    return Photo.objects.filter(commission=commission, removed_at__isnull=True).select_related(
        "picture", "step", "person", "released_by"
    )


def photo_of(*, commission: Commission, pk: int) -> Photo | None:
    """One photo of this job, and of no other."""
    return photos(commission=commission).filter(pk=pk).first()


def released_photos(*, commission: Commission):
    """The photos that the client may see, in order, with picture and step."""
    return photos(commission=commission).filter(audience=Audience.CLIENT)


def photos_at_hold(*, commission: Commission):
    """Released photos of what is looked at while a job waits at a hold point: of its stage, or taken since."""
    step = current_step(commission=commission)
    return released_photos(commission=commission).filter(
        Q(step__stage=commission.stage) | Q(step=step) if step else Q(step__stage=commission.stage)
    )


def photos_without_letter():
    """Released photos that no letter has taken along yet, with commission and picture, by job and in order."""
    return (
        Photo.objects.filter(audience=Audience.CLIENT, carried_at__isnull=True, removed_at__isnull=True)
        .select_related("commission", "picture", "step")
        .order_by("commission_id", "at", "id")
    )


def final_shots_missing(*, commission: Commission) -> list[str]:
    """The shots of the fixed final set, in words, that have not been taken."""
    taken = set(photos(commission=commission).exclude(shot="").values_list("shot", flat=True))
    return [words for key, words in FINAL_SHOTS if key not in taken]
