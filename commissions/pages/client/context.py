"""What every client's page knows: its ways, and whether it has to keep a secret."""

from __future__ import annotations

from django.utils.functional import SimpleLazyObject

from commissions.pages.client.ways import client_ways
from commissions.record.queries import commission_of


def clients_page(request):
    """
    Template variables of a client's page; nothing on any other page.

    ``client_discreet`` replaces a page's title by a neutral one, whatever room wrote the page.
    """
    access = getattr(request, "client_access", None)
    if access is None:
        return {}
    reference = request.resolver_match.kwargs.get("reference", "") if request.resolver_match else ""
    commission = SimpleLazyObject(lambda: _commission(request, access, reference))
    return {
        "client_discreet": SimpleLazyObject(
            lambda: access.discreet or bool(commission and commission.discreet)
        ),
        "client_ways": SimpleLazyObject(
            lambda: client_ways(commission=commission, path=request.path) if commission else []
        ),
        "client_messages": SimpleLazyObject(lambda: f"/yours/{reference}/messages/" if commission else ""),
    }


def _commission(request, access, reference: str):
    if not reference:
        return None
    known = getattr(request, "client_commission", None)
    return known or commission_of(access=access, reference=reference)
