"""Writes of what is included: how many revisions, and what the next one costs."""

from __future__ import annotations

from django.db import transaction

from commissions.design.models import Revision, RevisionTerm, Uncounted
from commissions.record.models import Commission
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def say_terms(
    *,
    commission: Commission | None,
    included: int,
    price_minor: int | None,
    currency: str,
    person: Person,
) -> RevisionTerm:
    """
    Say how many revisions are included and what the next one costs; for the studio where no commission is named.

    Effects, in order: the row is written and counts from now on; the trail says so.
    """
    term = RevisionTerm.objects.create(
        commission=commission,
        included=included,
        price_minor=price_minor,
        currency=currency,
        person=person,
        at=clock.now(),
    )
    write_trail(
        actor=person,
        verb="said what is included",
        subject=commission.reference if commission else "studio",
        facts={"revisions": included, "next_minor": price_minor, "currency": currency},
    )
    return term


def leave_uncounted(*, revision: Revision, reason: str, person: Person) -> Uncounted:
    """
    Leave a revision out of the count, because it was our own doing. Part of send_revision.

    Effects: the row is written with its reason.
    """
    return Uncounted.objects.create(revision=revision, reason=reason, person=person, at=clock.now())
