"""What the pages of delivery share."""

from __future__ import annotations

from django.http import Http404

from commissions.record.queries import by_reference


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
