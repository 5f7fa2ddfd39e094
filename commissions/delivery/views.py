"""Pages of the delivery room."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.delivery import actions, forms, queries
from commissions.delivery.models import CareDate
from commissions.record.errors import Refused
from commissions.record.queries import by_reference
from commissions.record.route import Stage
from studio.people.access import client as client_page
from studio.people.access import staff, stepped_up


def _commission(reference: str):
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


def _own(request, reference: str):
    commission = _commission(reference)
    if commission.client.access_id != request.client_access.pk:
        raise Http404
    return commission


@staff("owner", "jeweller")
@require_GET
def dispatching(request):
    """What is about to leave, what is on its way, what care is due."""
    return render(
        request, "delivery/dispatch.html", {"rows": queries.dispatching(), "care": queries.care_due()}
    )


def _page(request, commission, **more):
    shipment = queries.shipment_of(commission=commission)
    context = {
        "commission": commission,
        "shipment": shipment,
        "address": queries.address_for(commission=commission, person=request.user),
        "confirmed_at": queries.address_confirmed_at(commission=commission),
        "window": queries.window_open(commission=commission),
        "care": queries.care_of(commission=commission),
        "packing": forms.Packing(currency=commission.currency),
        "dispatch_form": forms.Dispatch(),
        "arrival_form": forms.Arrival(),
        "missing": [],
        **more,
    }
    return render(request, "delivery/delivery.html", context)


@staff("owner", "jeweller")
@require_GET
def delivery(request, reference: str):
    """One ring's way out of the house."""
    return _page(request, _commission(reference))


@staff("owner", "jeweller")
@require_POST
def ask_address(request, reference: str):
    """Ask the client where it goes."""
    actions.ask_for_address(commission=_commission(reference))
    messages.success(request, "The client is asked to confirm the address.")
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_POST
def pack(request, reference: str):
    """The packing gate."""
    commission = _commission(reference)
    form = forms.Packing(request.POST, currency=commission.currency)
    if not form.is_valid():
        return _page(request, commission, packing=form)
    try:
        actions.pack(commission=commission, person=request.user, **form.facts())
    except Refused as refusal:
        return _page(request, commission, packing=form, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_POST
def dispatch(request, reference: str):
    """Hand it to the carrier."""
    commission = _commission(reference)
    form = forms.Dispatch(request.POST)
    shipment = queries.shipment_of(commission=commission)
    if shipment is None:
        raise Http404
    if not form.is_valid():
        return _page(request, commission, dispatch_form=form)
    try:
        actions.dispatch(shipment=shipment, person=request.user, **form.cleaned_data)
    except Refused as refusal:
        return _page(request, commission, dispatch_form=form, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_POST
def arrival(request, reference: str):
    """The client has it: proof in words."""
    commission = _commission(reference)
    form = forms.Arrival(request.POST)
    shipment = queries.shipment_of(commission=commission)
    if shipment is None:
        raise Http404
    if not form.is_valid():
        return _page(request, commission, arrival_form=form)
    try:
        actions.confirm_arrival(
            shipment=shipment, proof=form.cleaned_data["proof"], by_words=str(request.user)
        )
    except Refused as refusal:
        return _page(request, commission, arrival_form=form, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@client_page
@require_GET
def yours(request, reference: str):
    """Where the parcel is, for the client."""
    commission = _own(request, reference)
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
        },
    )


@client_page
@stepped_up
@require_http_methods(["GET", "POST"])
def address(request, reference: str):
    """The client confirms the address, after showing the passphrase."""
    commission = _own(request, reference)
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
    commission = _own(request, reference)
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
    commission = _own(request, reference)
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
            "next": next((row for row in rows if not row.done_at), None),
            "form": form,
        },
    )
