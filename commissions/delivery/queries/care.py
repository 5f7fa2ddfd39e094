"""Reads of care: dates, worries, and what was said to them."""

from __future__ import annotations

import datetime

from commissions.delivery.models import CareDate, CarePhoto, Worry
from commissions.record.models import Commission
from studio import clock


def care_due(*, days: int = 14):
    """Dates of care of the coming days, and those that have passed undone."""
    return (
        CareDate.objects.filter(
            done_at__isnull=True, due_on__lte=clock.today() + datetime.timedelta(days=days)
        )
        .select_related("commission__client")
        .order_by("due_on", "id")[:50]
    )


def care_of(*, commission: Commission):
    """Every date of care of a ring, with its photographs."""
    return (
        CareDate.objects.filter(commission=commission).prefetch_related("photos__picture").order_by("due_on")
    )


def worries_of(*, commission: Commission) -> list[Worry]:
    """What has worried the client about a ring, newest first, with photographs and advice: three queries."""
    rows = (
        Worry.objects.filter(commission=commission)
        .select_related("commission__client")
        .prefetch_related("photos__picture", "advice__person")
        .order_by("-id")
    )
    return [with_answer(row) for row in rows]


def worry_of(*, commission: Commission, pk: int) -> Worry | None:
    """One worry about this ring, and about no other."""
    row = (
        Worry.objects.filter(commission=commission, pk=pk)
        .select_related("commission__client__access")
        .prefetch_related("photos__picture", "advice__person")
        .first()
    )
    return row and with_answer(row)


def with_answer(worry: Worry) -> Worry:
    """The same, with the newest advice as ``answer`` (None before there is one)."""
    worry.answer = max(worry.advice.all(), key=lambda row: row.pk, default=None)
    return worry


def worries_waiting():
    """Worries that nobody has answered, oldest first, with their ring and client."""
    return Worry.objects.filter(advice__isnull=True).select_related("commission__client").order_by("id")[:50]


def care_photo(*, commission: Commission, pk: int) -> CarePhoto | None:
    """One photograph of this worn ring, and of no other."""
    return CarePhoto.objects.filter(commission=commission, pk=pk).select_related("picture").first()
