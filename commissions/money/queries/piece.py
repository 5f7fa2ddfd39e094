"""The money part on the page of one commission, for owners."""

from __future__ import annotations

from commissions.money.queries.agreement import (
    accepted_quote,
    draft_quote,
    open_quote,
    standing_approval,
    totals,
)
from commissions.money.queries.balances import committed, held, plan_rows, settled
from commissions.record.models import Commission
from studio.people.models import Person


def piece_part(*, commission: Commission, person: Person) -> dict | None:
    """What the page of one commission shows of its money; None for all but owners, or before any of it."""
    if not person.is_owner:
        return None
    accepted = accepted_quote(commission=commission)
    waiting = open_quote(commission=commission)
    draft = draft_quote(commission=commission)
    shown = accepted or waiting or draft
    paid = settled(commission=commission)
    if shown is None and not paid:
        return None
    spent = committed(commission=commission)
    return {
        "template": "money/piece_part.html",
        "quote": shown,
        "totals": totals(quote=shown) if shown else None,
        "settled": paid,
        "held": held(commission=commission),
        "committed": spent,
        "cover": paid / spent if spent > 0 else None,
        "plan": plan_rows(quote=accepted) if accepted else [],
        "approval": standing_approval(commission=commission),
    }
