"""What the page of one commission shows of its stones."""

from __future__ import annotations

from commissions.record.models import Commission
from commissions.sourcing.queries.conditions import condition_missing
from commissions.sourcing.queries.stones import chosen, newest_check_in, seat_of, working_to_report
from commissions.sourcing.queries.turning import turned


def piece_part(*, commission: Commission, person) -> dict | None:
    """The chosen stone: what was measured, how it is to lie, and what is missing before it is set."""
    stone = chosen(commission=commission)
    if stone is None:
        return None
    return {
        "template": "sourcing/piece_part.html",
        "stone": stone,
        "check_in": newest_check_in(stone=stone),
        "seat": seat_of(commission=commission, stone=stone),
        "to_report": working_to_report(stone=stone),
        "may_decide": person.is_owner and stone.owner != "us" and bool(stone.report_number),
        "turned": turned(stone=stone),
        "missing": condition_missing(commission=commission),
    }
