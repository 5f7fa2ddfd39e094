"""What the page of a stone count begins with and shows."""

from __future__ import annotations

from commissions.bench import queries
from commissions.record.models import Commission

NAMES = ("set", "returned", "broken", "lost")


def before(commission: Commission) -> dict:
    """The figures of the last count, to go on from; what was issued comes from the drawer's book."""
    issued = queries.issued_lots(commission=commission)
    if not issued:
        last = queries.latest_count(commission=commission)
        if last is None:
            return dict.fromkeys(NAMES, 0)
        return {name: getattr(last, name) for name in ("issued", *NAMES)}
    initial: dict = {"lots": ",".join(str(row.lot.pk) for row in issued)}
    for row in queries.tallies(commission=commission):
        initial |= {f"{name}_{row.lot_id}": getattr(row, name) for name in NAMES}
        for name in ("returned", "broken"):
            if mct := getattr(row, f"{name}_mct"):
                initial[f"{name}_ct_{row.lot_id}"] = f"{mct / 1000:.3f}"
    return initial


def count_page(commission: Commission, form) -> dict:
    """What the page of a stone count shows: a group for each lot, what the sheet needs and what lacks."""
    lots = {row.lot.pk: row for row in queries.issued_lots(commission=commission)}
    groups = [
        {
            "lot": lots[pk],
            "counts": [form[f"{name}_{pk}"] for name in ("set", "returned", "broken", "lost")],
            "weights": [form[f"{name}_ct_{pk}"] for name in ("returned", "broken")],
        }
        for pk in form.lot_ids
        if pk in lots
    ]
    return {
        "before": queries.latest_count(commission=commission),
        "groups": groups,
        "needed": queries.needed(commission=commission) or {},
        "lacking": queries.lacking(commission=commission),
    }
