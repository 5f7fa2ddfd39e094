"""Reads of the record."""

from __future__ import annotations

from django.db.models import Case, When

from commissions.record.models import Commission, Hold, Question
from commissions.record.route import State
from studio.people.models import ClientAccess


def by_reference(*, reference: str) -> Commission | None:
    """The commission with this public reference, with its client."""
    return Commission.objects.select_related("client__access").filter(reference=reference).first()


def commission_of(*, access: ClientAccess, reference: str) -> Commission | None:
    """
    The commission with this reference, if it is this client's own; None otherwise.

    Whether it is somebody else's or nobody's makes no difference to the answer: a client's page that gets
    None answers 404.
    """
    return (
        Commission.objects.select_related("client__access")
        .filter(client__access=access, reference=reference)
        .first()
    )


def commissions_of(*, access: ClientAccess):
    """A client's commissions, the open ones first, then the newest."""
    return (
        Commission.objects.filter(client__access=access)
        .select_related("client")
        .order_by(Case(When(state=State.OPEN, then=0), default=1), "-opened_at", "-id")
    )


def small_jobs(*, ring: Commission):
    """The small jobs on a ring, the newest first."""
    return (
        Commission.objects.filter(ring=ring)
        .select_related("small_job")
        .order_by(Case(When(state=State.OPEN, then=0), default=1), "-id")
    )


def small_job_part(*, commission: Commission) -> dict | None:
    """What a small job adds to what is agreed: on which ring, what is done, and the size afterwards."""
    if not commission.ring_id:
        return None
    job = commission.small_job
    return {"ring": commission.ring.reference, "work": job.work, "words": job.words, "size_hmm": job.size_hmm}


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
