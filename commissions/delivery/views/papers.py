"""Papers that go with the ring."""

from __future__ import annotations

from django.conf import settings
from django.http import Http404
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_POST

from commissions.delivery import actions, papers
from commissions.delivery.views.common import commission_or_404, own_or_404, paper_answer
from commissions.delivery.views.studio import page
from commissions.record.errors import Refused
from studio.people.access import client, staff


@staff("owner", "jeweller")
@require_POST
def make_record(request, reference: str):
    """Keep what is so of the finished ring."""
    commission = commission_or_404(reference)
    try:
        actions.make_ring_record(commission=commission, person=request.user)
    except Refused as refusal:
        return page(request, commission, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_GET
def paper(request, reference: str, kind: str):
    """One paper for the studio; sums are the owner's."""
    if kind in ("valuation", "customs") and request.user.role != "owner":
        raise Http404
    return paper_answer(commission_or_404(reference), kind, settings.LANGUAGE_CODE)


@client
@require_GET
def yours(request, reference: str, kind: str):
    """One paper for the client, in their language."""
    commission = own_or_404(request, reference)
    if kind not in dict(papers.shelf(commission=commission)):
        raise Http404
    return paper_answer(commission, kind, commission.client.access.language)
