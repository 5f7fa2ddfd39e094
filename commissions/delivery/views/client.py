"""The client's pages of the way home: address, parcel, arrival."""

from __future__ import annotations

from django.conf import settings
from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.bench.small import RING_HERE
from commissions.delivery import actions, forms, papers, queries
from commissions.delivery.models import Address
from commissions.delivery.views.common import own_or_404
from commissions.record.errors import Refused
from commissions.record.queries import open_questions
from commissions.record.route import Stage
from studio.people.access import client as client_page
from studio.people.access import stepped_up


@client_page
@require_GET
def yours(request, reference: str):
    """Where the parcel is, for the client; of a small job also how the ring comes to us."""
    commission = own_or_404(request, reference)
    shipment = queries.shipment_of(commission=commission)
    return render(
        request,
        "delivery/yours.html",
        {
            "commission": commission,
            "shipment": shipment,
            "confirmed_at": queries.address_confirmed_at(commission=commission),
            "asks": commission.stage in (Stage.CHECKING, Stage.HANDOVER)
            and (shipment is None or not shipment.dispatched_at),
            "to_send": bool(commission.ring_id)
            and open_questions(commission=commission).filter(key=RING_HERE).exists(),
            "studio_address": settings.STUDIO_ADDRESS,
            "form": forms.ClientArrival(),
            "papers": papers.shelf(commission=commission),
        },
    )


@client_page
@stepped_up
@require_http_methods(["GET", "POST"])
def address(request, reference: str):
    """The client confirms the address, after showing the passphrase."""
    commission = own_or_404(request, reference)
    standing = Address.objects.filter(commission=commission, gone_at__isnull=True).first()
    start = (
        {"addressee": standing.addressee, "lines": standing.lines, "country": standing.country}
        if standing
        else {
            "addressee": commission.client.full_name,
            "country": commission.client.country,
        }
    )
    form = forms.AddressForm(request.POST or None, initial=start)
    if request.method == "POST" and form.is_valid():
        try:
            actions.confirm_address(
                commission=commission, by_words=commission.client.full_name, **form.cleaned_data
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("delivery-yours:delivery", reference=reference)
    return render(request, "delivery/address.html", {"commission": commission, "form": form})


@client_page
@require_POST
def arrived(request, reference: str):
    """The client says that it is there."""
    commission = own_or_404(request, reference)
    shipment = queries.shipment_of(commission=commission)
    form = forms.ClientArrival(request.POST)
    if shipment is None or not form.is_valid():
        raise Http404
    words = form.cleaned_data["words"].strip()
    try:
        actions.client_confirms_arrival(shipment=shipment, words=words, name=commission.client.full_name)
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("delivery-yours:delivery", reference=reference)
