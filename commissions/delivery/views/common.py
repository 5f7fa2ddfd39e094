"""What the pages of delivery share."""

from __future__ import annotations

from django.http import Http404, HttpResponse

from commissions.delivery import papers
from commissions.record.queries import by_reference
from studio.papers import PapersUnavailable


def commission_or_404(reference: str):
    """The commission with this reference."""
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


def own_or_404(request, reference: str):
    """The client's own commission; another's does not exist for them."""
    commission = commission_or_404(reference)
    if commission.client.access_id != request.client_access.pk:
        raise Http404
    return commission


def paper_answer(commission, kind: str, language: str) -> HttpResponse:
    """One paper as a browser shows it."""
    try:
        paper = papers.make(kind=kind, commission=commission, language=language)
    except PapersUnavailable as unavailable:
        return HttpResponse(str(unavailable), status=503, content_type="text/plain")
    name = papers.file_name(kind=kind, commission=commission)
    return HttpResponse(
        paper.content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="{name}"', "X-Content-Type-Options": "nosniff"},
    )
