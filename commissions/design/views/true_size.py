"""A revision at true size on the screen that it is looked at on."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import render
from django.views.decorators.http import require_GET

from commissions.design import truesize
from commissions.design.models import Revision, Status
from commissions.design.views.common import commission_of, own_commission, revision_of
from studio.people.access import client as client_page
from studio.people.access import staff


def _page(request, revision: Revision) -> dict:
    asked = request.GET
    px_per_mm = truesize.factor(
        asked=asked.get("px_per_mm", ""), measured=asked.get("measured", ""), step=asked.get("step", "")
    )
    return {
        "commission": revision.commission,
        "revision": revision,
        "px_per_mm": f"{px_per_mm:.4f}",
        "said": "px_per_mm" in asked,
        "least": str(truesize.LEAST),
        "most": str(truesize.MOST),
        "card": truesize.card(px_per_mm=px_per_mm),
        "bar": truesize.bar(px_per_mm=px_per_mm),
        "shown": truesize.ring_at(revision, px_per_mm=px_per_mm),
    }


@client_page
@require_GET
def yours_true_size(request, reference: str, letter: str):
    """The ring at true size, once the screen is set by a bank card or a ruler."""
    own_commission(request, reference)
    revision = revision_of(reference, letter)
    if revision.status == Status.DRAFT:
        raise Http404
    return render(request, "design/yours_true_size.html", _page(request, revision))


@staff()
@require_GET
def true_size(request, reference: str, letter: str):
    """The client's page at true size, as the studio sees it."""
    commission_of(reference)
    return render(request, "design/true_size.html", _page(request, revision_of(reference, letter)))
