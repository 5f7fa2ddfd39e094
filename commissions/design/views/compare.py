"""Two revisions side by side: the same page for the client and for the studio."""

from __future__ import annotations

from django.shortcuts import render
from django.views.decorators.http import require_GET

from commissions.design import comparing, queries
from commissions.design.forms import Two
from commissions.design.views.common import commission_of, own_commission
from commissions.record.models import Commission
from studio.people.access import client as client_page
from studio.people.access import staff


@client_page
@require_GET
def yours_compare(request, reference: str):
    """Two of the revisions that were sent, as the client holds them against each other."""
    commission = own_commission(request, reference)
    return render(request, "design/yours_compare.html", _page(request, commission))


@staff("owner", "jeweller")
@require_GET
def compare(request, reference: str):
    """The client's page of two revisions, as the studio sees it."""
    commission = commission_of(reference)
    return render(request, "design/compare.html", _page(request, commission))


def _page(request, commission: Commission) -> dict:
    sent = {row.letter: row for row in queries.sent(commission=commission)}
    letters = list(sent)
    form = Two(request.GET if request.GET else None, letters=letters)
    page = {"commission": commission, "letters": letters, "form": form}
    if len(letters) < 2 or (form.is_bound and not form.is_valid()):
        return page
    left, right = form.pair()
    comparison = comparing.compare(sent[left], sent[right])
    return {
        **page,
        "same": ", ".join(comparison.same).lower(),
        "left": sent[left],
        "right": sent[right],
        "pairs": comparing.pairs(sent[left], sent[right]),
        "comparison": comparison,
    }
