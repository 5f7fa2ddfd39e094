"""Papers that go with the ring."""

from __future__ import annotations

from django.conf import settings
from django.http import Http404
from django.shortcuts import redirect
from django.views.decorators.http import require_GET, require_POST

from commissions.delivery import actions, papers, queries
from commissions.delivery.views.common import as_pdf, commission_or_404, own_or_404
from commissions.delivery.views.studio import page
from commissions.record.errors import Refused
from studio.people.access import client, staff, stepped_up


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
    """One paper as it would be handed over now."""
    if kind in papers.WITH_SUMS and request.user.role != "owner":
        raise Http404
    commission = commission_or_404(reference)
    return as_pdf(
        make=lambda: papers.make(kind=kind, commission=commission, language=settings.LANGUAGE_CODE),
        name=f"draft-{papers.file_name(kind=kind, commission=commission)}" if kind in papers.NAMES else "",
    )


def _kept(commission, pk: int):
    row = queries.kept_paper(commission=commission, pk=pk)
    if row is None:
        raise Http404
    return row


def _answer(commission, row):
    return as_pdf(
        make=lambda: actions.draw_paper(paper=row),
        name=papers.file_name(kind=row.kind, commission=commission, edition=row.edition),
    )


@staff("owner", "jeweller")
@require_GET
def kept(request, reference: str, pk: int):
    """One paper as it was handed over."""
    commission = commission_or_404(reference)
    row = _kept(commission, pk)
    if row.kind in papers.WITH_SUMS and request.user.role != "owner":
        raise Http404
    return _answer(commission, row)


@client
@require_GET
def yours(request, reference: str, pk: int):
    """One paper for the client, as it was handed over; of a surprise only after the passphrase."""
    commission = own_or_404(request, reference)
    row = _kept(commission, pk)
    if row.kind not in papers.CLIENTS:
        raise Http404

    def show(_request):
        return _answer(commission, row)

    return (
        stepped_up(show)(request) if papers.is_sealed(kind=row.kind, commission=commission) else show(request)
    )
