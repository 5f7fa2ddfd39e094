"""What the pages of the money room share."""

from __future__ import annotations

from functools import wraps

from django.http import Http404, HttpResponse
from django.shortcuts import render

from commissions.record.models import Commission
from commissions.record.queries import by_reference, commission_of
from studio.papers import PapersUnavailable
from studio.people.access import client


def commission_or_404(reference: str) -> Commission:
    """The commission of this reference, for the studio's pages."""
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


def own(view):
    """Give the view the client's own commission; anybody else's, and one that does not exist, is 404."""

    @client
    @wraps(view)
    def inside(request, reference, *args, **kwargs):
        commission = commission_of(access=request.client_access, reference=reference)
        if commission is None:
            raise Http404
        request.client_commission = commission
        return view(request, commission, *args, **kwargs)

    return inside


def as_pdf(request, *, make, name: str) -> HttpResponse:
    """The bytes that *make* gives as a PDF to keep; the install line where this machine cannot make one."""
    try:
        content = make()
    except PapersUnavailable as error:
        return render(request, "money/no_papers.html", {"words": str(error)}, status=503)
    commission = getattr(request, "client_commission", None)
    if commission is not None and commission.discreet:
        # A download stays in a list that others see: of a surprise its name keeps the reference alone.
        name = f"paper-{name.partition('-')[2]}"
    answer = HttpResponse(content, content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="{name}.pdf"'
    return answer
