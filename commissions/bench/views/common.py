"""What the pages of the bench share."""

from __future__ import annotations

from django.http import Http404

from commissions.bench import queries
from commissions.record.models import Commission
from commissions.record.queries import by_reference


def job_or_404(request, reference: str) -> Commission:
    """The job of this reference that the person may have in hand."""
    commission = queries.job_for(reference=reference, person=request.user)
    if commission is None:
        raise Http404
    return commission


def commission_or_404(reference: str) -> Commission:
    """The commission of this reference, wherever it stands: for the studio's pages."""
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission
