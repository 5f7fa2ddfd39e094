"""The metal account: lots and what each holder has, and the account of one job with its stated base."""

from __future__ import annotations

from django.db.models import Q
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from commissions.bench import actions, queries
from commissions.bench.forms.metal import (
    OF_JOB,
    OF_LOT,
    BookForm,
    CloseForm,
    LotForm,
    MoveForm,
    ReasonForm,
    RefinerForm,
    SettleForm,
)
from commissions.bench.models import MetalLot, MetalMovement, RefinerLot, Weighing
from commissions.bench.views.common import commission_or_404
from commissions.record.errors import Refused
from studio.people.access import staff


def _open_lots():
    return MetalLot.objects.filter(closed_at__isnull=True)


def _with_filings():
    return MetalLot.objects.filter(pk__in=[lot.pk for lot in queries.metal_lots() if lot.filings > 0])


def _act(request, lot_form, move_form, refiner_form) -> bool:
    if lot_form.is_bound and lot_form.is_valid():
        fields = dict(lot_form.cleaned_data)
        actions.open_lot(mg=fields.pop("grams"), person=request.user, **fields)
    elif move_form.is_bound and move_form.is_valid():
        actions.move_metal(person=request.user, **move_form.facts())
    elif refiner_form.is_bound and refiner_form.is_valid():
        fields = dict(refiner_form.cleaned_data)
        actions.send_to_refiner(person=request.user, lots=list(fields.pop("lots")), **fields)
    else:
        return False
    return True


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def metal(request):
    """Every lot; metal by alloy, at jobs, in, to the refiner."""

    def sent(name):
        return request.POST if name in request.POST else None

    forms = {
        "lot_form": LotForm(sent("new"), prefix="lot"),
        "move_form": MoveForm(sent("move"), kinds=OF_LOT, lots=_open_lots(), prefix="move"),
        "refiner_form": RefinerForm(sent("refine"), lots=_with_filings(), prefix="refine"),
    }
    missing = []
    try:
        if _act(request, **forms):
            return redirect("bench:metal")
    except Refused as refused:
        missing = refused.missing
    page = {
        **forms,
        "lots": queries.metal_lots(),
        "alloys": queries.by_alloy(),
        "jobs": queries.on_jobs(),
        "refinings": queries.refinings(),
        "missing": missing,
    }
    wrong = any(form.errors for form in forms.values())
    return render(request, "bench/metal.html", page, status=409 if missing else 422 if wrong else 200)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def refiner_lot(request, pk):
    """One lot at the refiner: what went, and what was credited for it."""
    row = next((row for row in queries.refinings() if row.parcel.pk == pk), None)
    if row is None:
        raise Http404
    form = SettleForm(request.POST or None)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.settle_refining(parcel=row.parcel, person=request.user, **form.cleaned_data)
            return redirect("bench:refiner-lot", pk)
        except Refused as refused:
            missing = refused.missing
    sent = RefinerLot.objects.get(pk=pk).movements.filter(kind="refine-out").select_related("lot")
    page = {"row": row, "sent": sent, "form": form, "missing": missing}
    status = 409 if missing else 422 if form.errors else 200
    return render(request, "bench/refiner_lot.html", page, status=status)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def job_metal(request, reference):
    """The metal of one job: movements, and issued against mount, returns and filings."""
    commission = commission_or_404(reference)
    lots = _open_lots().filter(Q(client__isnull=True) | Q(client=commission.client))
    # Out and in on the same scale: the one that was used last is offered again.
    last = queries.metal_of_job(commission=commission).exclude(scale="").last()
    initial = {"scale": last.scale} if last else {}
    form = MoveForm(request.POST or None, kinds=OF_JOB, lots=lots, initial=initial)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.move_metal(person=request.user, commission=commission, **form.facts())
            return redirect("bench:job-metal", reference)
        except Refused as refused:
            missing = refused.missing
    return _job_page(request, commission, form=form, missing=missing)


def _job_page(request, commission, *, form, missing):
    issued = queries.lots_issued(commission=commission)
    page = {
        "commission": commission,
        "form": form,
        "missing": missing,
        "rows": queries.metal_of_job(commission=commission),
        "accounts": queries.job_accounts(commission=commission),
        "unbooked": [
            {"weighing": row, "kind": kind, "lots": issued}
            for row, kind in queries.unbooked(commission=commission)
        ],
        "close_form": CloseForm(),
    }
    status = 409 if missing else 422 if form.errors else 200
    return render(request, "bench/job_metal.html", page, status=status)


def _empty(commission):
    lots = _open_lots().filter(Q(client__isnull=True) | Q(client=commission.client))
    return MoveForm(kinds=OF_JOB, lots=lots)


@require_POST
@staff("owner", "jeweller")
def book_weight(request, reference):
    """Take a weight of the bench over into the account, as it was weighed."""
    commission = commission_or_404(reference)
    issued = queries.lots_issued(commission=commission)
    form = BookForm(request.POST, lots=MetalLot.objects.filter(pk__in=[lot.pk for lot in issued]))
    if not form.is_valid():
        raise Http404
    kinds = {row.pk: kind for row, kind in queries.unbooked(commission=commission)}
    weighing = get_object_or_404(Weighing, pk=form.cleaned_data["weighing"], pk__in=kinds)
    try:
        actions.move_metal(
            lot=form.cleaned_data["lot"],
            kind=kinds[weighing.pk],
            mg=weighing.net_mg,
            tare_mg=weighing.tare_mg,
            scale=weighing.scale,
            person=request.user,
            commission=commission,
            weighing=weighing,
            note=f"weighed at the bench by {weighing.person}",
        )
    except Refused as refused:
        return _job_page(request, commission, form=_empty(commission), missing=refused.missing)
    return redirect("bench:job-metal", reference)


@require_POST
@staff("owner", "jeweller")
def close_account(request, reference):
    """Give up what is not accounted for, and close the account of a job."""
    commission = commission_or_404(reference)
    form = CloseForm(request.POST)
    reason = form.cleaned_data["reason"] if form.is_valid() else ""
    try:
        actions.close_account(commission=commission, person=request.user, reason=reason)
    except Refused as refused:
        return _job_page(request, commission, form=_empty(commission), missing=refused.missing)
    return redirect("bench:job-metal", reference)


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
