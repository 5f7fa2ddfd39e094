"""The client's pages: address, parcel, arrival, care."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.delivery import actions, forms, papers, queries
from commissions.delivery.models import CareDate
from commissions.delivery.views.common import own_or_404
from commissions.record.errors import Refused
from commissions.record.route import Stage
from studio.people.access import client as client_page
from studio.people.access import stepped_up


@client_page
@require_GET
def yours(request, reference: str):
    """Where the parcel is, for the client."""
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
    standing = queries.Address.objects.filter(commission=commission, gone_at__isnull=True).first()
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


@client_page
@require_http_methods(["GET", "POST"])
def care(request, reference: str):
    """The years after: dates, what to look for, and what the client found."""
    commission = own_or_404(request, reference)
    form = forms.CareDone(request.POST or None)
    if request.method == "POST" and form.is_valid():
        row = get_object_or_404(CareDate, pk=request.POST.get("care") or 0, commission=commission)
        actions.finish_care(
            care=row, findings=form.cleaned_data["findings"], by_words=commission.client.full_name
        )
        return redirect("delivery-yours:care", reference=reference)
    rows = list(queries.care_of(commission=commission))
    return render(
        request,
        "delivery/care.html",
        {
            "commission": commission,
            "rows": rows,
            "papers": papers.shelf(commission=commission),
            "next": next((row for row in rows if not row.done_at), None),
            "form": form,
        },
    )
