"""Reads of acts."""

from __future__ import annotations

import uuid

from commissions.bench.models import Act
from commissions.record.models import Commission
from studio.people.models import Person


def act_by_key(*, key: str, person: Person, commission: Commission) -> Act | None:
    """One's own act on this job by the id its phone made; None where *key* is no such id."""
    try:
        parsed = uuid.UUID(key)
    except ValueError:
        return None
    return Act.objects.filter(key=parsed, person=person, commission=commission).first()
