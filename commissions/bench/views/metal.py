"""The metal account: lots and what each holder has, and the account of one job with its stated base."""

from __future__ import annotations

from django.db.models import Q
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissions.bench import actions, queries
from commissions.bench.forms.metal import OF_JOB, OF_LOT, LotForm, MoveForm, ReasonForm
from commissions.bench.models import MetalLot, MetalMovement
from commissions.bench.views.common import commission_or_404
from commissions.record.errors import Refused
from studio.people.access import staff


def _open_lots():
    return MetalLot.objects.filter(closed_at__isnull=True)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def metal(request):
    """Every lot; metal in, to the refiner and back."""
    lot_form = LotForm(request.POST if "new" in request.POST else None, prefix="lot")
    move_form = MoveForm(
        request.POST if "move" in request.POST else None, kinds=OF_LOT, lots=_open_lots(), prefix="move"
    )
    missing = []
    try:
        if lot_form.is_bound and lot_form.is_valid():
            fields = dict(lot_form.cleaned_data)
            actions.open_lot(mg=fields.pop("grams"), person=request.user, **fields)
            return redirect("bench:metal")
        if move_form.is_bound and move_form.is_valid():
            fields = dict(move_form.cleaned_data)
            actions.move_metal(mg=fields.pop("grams"), person=request.user, **fields)
            return redirect("bench:metal")
    except Refused as refused:
        missing = refused.missing
    page = {"lots": queries.metal_lots(), "lot_form": lot_form, "move_form": move_form, "missing": missing}
    return render(request, "bench/metal.html", page, status=409 if missing else 200)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def job_metal(request, reference):
    """The metal of one job: movements, and issued against mount, returns and filings."""
    commission = commission_or_404(reference)
    lots = _open_lots().filter(Q(client__isnull=True) | Q(client=commission.client))
    form = MoveForm(request.POST or None, kinds=OF_JOB, lots=lots)
    missing = []
    if request.method == "POST" and form.is_valid():
        fields = dict(form.cleaned_data)
        try:
            actions.move_metal(mg=fields.pop("grams"), person=request.user, commission=commission, **fields)
            return redirect("bench:job-metal", reference)
        except Refused as refused:
            missing = refused.missing
    page = {
        "commission": commission,
        "form": form,
        "missing": missing,
        "rows": queries.metal_of_job(commission=commission),
        "accounts": queries.job_accounts(commission=commission),
    }
    return render(request, "bench/job_metal.html", page, status=409 if missing else 200)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def reverse_metal(request, reference, pk):
    """Put one movement of a job right by its reverse."""
    commission = commission_or_404(reference)
    movement = get_object_or_404(
        MetalMovement.objects.select_related("lot", "commission"), pk=pk, commission=commission
    )
    form = ReasonForm(request.POST or None)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.reverse_metal(movement=movement, person=request.user, reason=form.cleaned_data["reason"])
            return redirect("bench:job-metal", reference)
        except Refused as refused:
            missing = refused.missing
    page = {"commission": commission, "movement": movement, "form": form, "missing": missing}
    return render(request, "bench/reverse_metal.html", page, status=409 if missing else 200)
