"""Reads of the record."""

from __future__ import annotations

from commissions.record.models import Commission, Hold, Question
from commissions.record.route import State


def by_reference(*, reference: str) -> Commission | None:
    """The commission with this public reference, with its client."""
    return Commission.objects.select_related("client__access").filter(reference=reference).first()


def open_commissions():
    """Open commissions with their client, in the order of need and turn."""
    return (
        Commission.objects.filter(state=State.OPEN)
        .select_related("client")
        .order_by("needed_sort", "turn_rank", "id")
    )


def open_questions(*, commission: Commission):
    """What somebody still has to do or answer, oldest first."""
    return Question.objects.filter(commission=commission, answered_at__isnull=True)


def active_hold(*, commission: Commission) -> Hold | None:
    """The hold that lies on the commission, if any."""
    return Hold.objects.filter(commission=commission, lifted_at__isnull=True).order_by("since").first()
