"""What the pages of the design room share."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404

from commissions.design.models import Revision
from commissions.record.models import Commission
from commissions.record.queries import by_reference


def commission_of(reference: str) -> Commission:
    """The commission, or 404."""
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


def own_commission(request, reference: str) -> Commission:
    """The commission of the client who asks, or 404."""
    commission = commission_of(reference)
    if commission.client.access_id != request.client_access.pk:
        raise Http404
    return commission


def revision_of(reference: str, letter: str) -> Revision:
    """One revision with its commission and client, or 404."""
    return get_object_or_404(
        Revision.objects.select_related("commission__client__access", "parent"),
        commission__reference=reference,
        letter=letter,
    )
