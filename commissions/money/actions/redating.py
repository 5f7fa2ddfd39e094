"""Another date for what was agreed: the client's yes freezes it anew."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.money import bundle as bundles
from commissions.money import queries
from commissions.money.models import Approval
from commissions.record.actions import promise
from commissions.record.models import Commission
from studio import clock
from studio.people.models import ClientAccess


@transaction.atomic
def agree_to_date(
    *,
    commission: Commission,
    on: datetime.date,
    reason: str,
    consent: str,
    method: str,
    by_words: str,
    access: ClientAccess | None = None,
) -> Approval | None:
    """
    Keep the client's agreement to another date, and to nothing else.

    Effects, in order: the promise moves, with its reason; the approval before it is void, and a new one
    stands for the same bundle with the new date. Whatever else differs from what was agreed still differs
    afterwards. None where nothing is agreed yet.
    """
    before = queries.standing_approval(commission=commission)
    promise(commission=commission, on=on, reason=reason, by_words=by_words)
    if before is None:
        return None
    now = {**before.bundle, "promised_on": on.isoformat()}
    Approval.objects.filter(pk=before.pk, void_at__isnull=True).update(
        void_at=clock.now(), void_reason=f"the date moved to {on.isoformat()}"
    )
    return Approval.objects.create(
        commission=commission,
        quote=before.quote,
        bundle=now,
        digest=bundles.digest(now),
        consent=consent,
        method=method,
        terms_version=before.terms_version,
        access=access,
        by_words=by_words,
        at=clock.now(),
    )
