"""Writes of limits: what one parcel may be worth."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.delivery.models import Limit
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def keep_limit(
    *, carrier: str, currency: str, minor: int, source: str, as_of: datetime.date, person: Person
) -> Limit:
    """
    Keep what one parcel may be worth: by the insurer's policy, or by one carrier's terms.

    Effects, in order: the limit is added, and the newest counts; the trail says so.

    Args:
        carrier: whose terms they are; empty for the policy of the studio's own insurer.
        minor: the most that one parcel may be worth, minor units of *currency*.
        source: where it was read, such as the number of the policy.
        as_of: the day it was read.
    """
    limit = Limit.objects.create(
        carrier=carrier.strip(),
        currency=currency,
        minor=minor,
        source=source,
        as_of=as_of,
        kept_by=str(person),
        at=clock.now(),
    )
    write_trail(
        actor=person,
        verb="kept a limit",
        subject=carrier.strip() or "policy",
        facts={"currency": currency, "minor": minor, "as of": str(as_of)},
    )
    return limit
