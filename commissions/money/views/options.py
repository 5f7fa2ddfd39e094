"""Two ways to make the same ring, side by side: another stone, another metal."""

from __future__ import annotations

from django.shortcuts import render
from django.views.decorators.http import require_GET

from commissions.design.queries import agreed
from commissions.money import pricing
from commissions.money.lines import rounded
from commissions.money.models import LineKind
from commissions.money.views.common import commission_or_404
from commissions.sourcing.models import StoneState
from commissions.sourcing.queries import chosen, stones_of
from gemcalc.alloys import ALLOYS
from studio.people.access import staff

GONE = {StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST, StoneState.QUARANTINE}


@staff("owner")
@require_GET
def options(request, reference: str):
    """The price of the agreed design with up to two other choices beside it; nothing is written."""
    commission = commission_or_404(reference)
    revision = agreed(commission=commission)
    prices = pricing.price_list(currency=commission.currency)
    stones = [row for row in stones_of(commission=commission) if row.state not in GONE]
    context = {
        "commission": commission,
        "stones": stones,
        "alloys": sorted(ALLOYS),
        "asked": {key: request.GET.get(key, "") for key in ("stone", "metal")},
        "ready": revision is not None and prices is not None,
    }
    if context["ready"]:
        first = chosen(commission=commission)
        other = next((row for row in stones if str(row.pk) == context["asked"]["stone"]), first)
        metal = context["asked"]["metal"] if context["asked"]["metal"] in ALLOYS else None
        tax = pricing.proposed_tax(country=commission.client.country)
        pairs = [
            pricing.work_out(
                commission=commission, revision=revision, stone=stone, prices=prices, tax=tax, metal=alloy
            )
            for stone, alloy in ((first, None), (other, metal))
        ]
        context |= {"rows": _side_by_side(*pairs), "notes": pairs[1].notes}
    return render(request, "money/options.html", context)


def _side_by_side(left: pricing.Worked, right: pricing.Worked) -> list[dict]:
    """Gross sums by kind of line, minor units, with the difference; the last row is the whole."""
    sums = [_by_kind(side) for side in (left, right)]
    rows = [
        {"name": kind.label, "left": sums[0].get(kind, 0), "right": sums[1].get(kind, 0)}
        for kind in LineKind
        if kind in sums[0] or kind in sums[1]
    ]
    rows.append({"name": "Together", "left": sum(sums[0].values()), "right": sum(sums[1].values())})
    return [{**row, "more": row["right"] - row["left"]} for row in rows]


def _by_kind(worked: pricing.Worked) -> dict[str, int]:
    found: dict[str, int] = {}
    for line in worked.lines:
        total = rounded(line.quantity * line.unit_minor)
        found[line.kind] = found.get(line.kind, 0) + total + rounded(total * line.tax_rate / 100)
    return found
