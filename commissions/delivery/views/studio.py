"""The studio's pages: packing, parcel, arrival."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.bench import queries as bench
from commissions.delivery import actions, customs, forms, queries
from commissions.delivery.packing import SHOTS
from commissions.delivery.views.common import commission_or_404
from commissions.record.errors import Refused
from commissions.sourcing import queries as sourcing
from studio.people.access import staff
from studio.pictures.actions import receive
from studio.pictures.errors import PictureRefused
from studio.pictures.serving import answer


@staff("owner", "jeweller")
@require_GET
def dispatching(request):
    """What is about to leave, what is on its way, what care is due."""
    return render(
        request,
        "delivery/dispatch.html",
        {
            "rows": queries.dispatching(),
            "care": queries.care_due(),
            "worries": queries.worries_waiting(),
        },
    )


def _shots(commission):
    taken = queries.shots_taken(commission=commission)
    return [{"words": words, "photo": taken.get(key)} for key, words in SHOTS]


def page(request, commission, **more):
    """The page of one ring's way out of the house, with what a form or a refusal adds."""
    shipment = queries.shipment_of(commission=commission)
    stone = sourcing.chosen(commission=commission)
    context = {
        "commission": commission,
        "shipment": shipment,
        "address": queries.address_for(commission=commission, person=request.user),
        "confirmed_at": queries.address_confirmed_at(commission=commission),
        "window": queries.window_open(commission=commission),
        "care": queries.care_of(commission=commission),
        "packing": forms.Packing(commission=commission),
        "dispatch_form": forms.Dispatch(),
        "arrival_form": forms.Arrival(),
        "shots": _shots(commission),
        "photo_form": forms.ParcelPhotoForm(),
        "weighing": bench.latest_weight(commission=commission, kind="ring"),
        "limit": queries.limit_for(carrier="", currency=commission.currency),
        "record": queries.ring_record(commission=commission),
        "marks": customs.mark_needs(commission=commission),
        "stone": stone,
        "seen": sourcing.newest_check_in(stone=stone) if stone else None,
        "again": queries.second_reading(commission=commission),
        "read_form": forms.ReadAgain(),
        "disclosure": queries.disclosure(commission=commission),
        "disclose_form": forms.Disclose(),
        "kept": list(queries.kept_papers(commission=commission)),
        "wording": queries.wording_problems(commission=commission),
        "missing": [],
        **more,
    }
    return render(request, "delivery/delivery.html", context, status=409 if context["missing"] else 200)


@staff("owner", "jeweller")
@require_GET
def delivery(request, reference: str):
    """One ring's way out of the house."""
    return page(request, commission_or_404(reference))


@staff("owner", "jeweller")
@require_POST
def ask_address(request, reference: str):
    """Ask the client where it goes."""
    actions.ask_for_address(commission=commission_or_404(reference))
    messages.success(request, "The client is asked to confirm the address.")
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_POST
def pack(request, reference: str):
    """The packing gate."""
    commission = commission_or_404(reference)
    form = forms.Packing(request.POST, commission=commission)
    if not form.is_valid():
        return page(request, commission, packing=form)
    try:
        actions.pack(commission=commission, person=request.user, **form.facts())
    except Refused as refusal:
        return page(request, commission, packing=form, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_POST
def dispatch(request, reference: str):
    """Hand it to the carrier."""
    commission = commission_or_404(reference)
    form = forms.Dispatch(request.POST)
    shipment = queries.shipment_of(commission=commission)
    if shipment is None:
        raise Http404
    if not form.is_valid():
        return page(request, commission, dispatch_form=form)
    try:
        actions.dispatch(shipment=shipment, person=request.user, **form.cleaned_data)
    except Refused as refusal:
        return page(request, commission, dispatch_form=form, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_POST
def arrival(request, reference: str):
    """The client has it: proof in words."""
    commission = commission_or_404(reference)
    form = forms.Arrival(request.POST)
    shipment = queries.shipment_of(commission=commission)
    if shipment is None:
        raise Http404
    if not form.is_valid():
        return page(request, commission, arrival_form=form)
    try:
        actions.confirm_arrival(
            shipment=shipment, proof=form.cleaned_data["proof"], by_words=str(request.user)
        )
    except Refused as refusal:
        return page(request, commission, arrival_form=form, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_POST
def add_photo(request, reference: str):
    """Take in a photograph of the parcel."""
    commission = commission_or_404(reference)
    form = forms.ParcelPhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return page(request, commission, photo_form=form)
    try:
        picture = receive(upload=form.cleaned_data["photo"], kind="parcel", person_words=str(request.user))
        actions.add_parcel_photo(
            commission=commission, shot=form.cleaned_data["shot"], picture=picture, person=request.user
        )
    except PictureRefused as refused:
        form.add_error("photo", refused.words)
        return page(request, commission, photo_form=form)
    except Refused as refusal:
        return page(request, commission, photo_form=form, missing=refusal.missing)
    return redirect("delivery:delivery", reference=reference)


@staff("owner", "jeweller")
@require_GET
def photo_file(request, reference: str, pk: int, size: int):
    """One rendition of a photograph of the parcel."""
    row = queries.parcel_photo(commission=commission_or_404(reference), pk=pk)
    if row is None:
        raise Http404
    return answer(request, row.picture, size)


@staff("owner")
@require_http_methods(["GET", "POST"])
def limits(request):
    """What one parcel may be worth, by policy and by carrier."""
    form = forms.LimitForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        actions.keep_limit(person=request.user, **form.facts())
        messages.success(request, "Kept: the packing gate asks this limit from now on.")
        return redirect("delivery:limits")
    return render(request, "delivery/limits.html", {"rows": queries.limits(), "form": form})
