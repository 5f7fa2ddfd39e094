"""Supplier jobs: out, back, the slip, and the link that an outside setter opens."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.bench import actions, drawing, queries
from commissions.bench.actions.suppliers import LINK_DAYS, hash_of
from commissions.bench.forms.suppliers import BackForm, LaterForm, SendForm
from commissions.bench.models import SupplierJob, SupplierTask
from commissions.bench.views.common import commission_or_404
from commissions.record.errors import Refused
from studio.people.access import staff


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def suppliers(request, reference):
    """What is out and what came back; send something out."""
    commission = commission_or_404(reference)
    step = queries.current_step(commission=commission)
    initial = {}
    if step and step.supplier_task:
        initial = {"task": step.supplier_task, "words": step.words, "due_on": step.due_on}
        initial |= _stones_out(commission) if step.supplier_task == SupplierTask.SETTER else {}
    form = SendForm(request.POST or None, initial=initial)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.send_out(commission=commission, person=request.user, **form.cleaned_data)
            return redirect("bench:suppliers", reference)
        except Refused as refused:
            missing = refused.missing
    return _page(request, commission, form=form, missing=missing)


def _stones_out(commission) -> dict:
    """The halo stones that lie at this job by the drawer's book: what goes to an outside setter."""
    lots = queries.issued_lots(commission=commission)
    stones = sum(row.issued - sum(row.booked.values()) for row in lots)
    mct = sum(row.issued_mct - sum(row.booked_mct.values()) for row in lots)
    return {"sent_stones": stones, "sent_mct": f"{mct / 1000:.3f}"} if stones else {}


def _sizes(job: SupplierJob) -> list:
    """The halo stones that an outside setter gets, by size."""
    if job.task != SupplierTask.SETTER or not job.sent_stones:
        return []
    return queries.issued_lots(commission=job.commission)


def _page(request, commission, **more):
    page = {"commission": commission, "rows": queries.supplier_jobs(commission=commission), **more}
    return render(request, "bench/suppliers.html", page, status=409 if more.get("missing") else 200)


def _job(commission, pk) -> SupplierJob:
    return get_object_or_404(queries.supplier_jobs(commission=commission).select_related("commission"), pk=pk)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def take_back(request, reference, pk):
    """Write down what came back."""
    commission = commission_or_404(reference)
    job = _job(commission, pk)
    form = BackForm(request.POST or None)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.take_back(job=job, person=request.user, **form.cleaned_data)
            return redirect("bench:suppliers", reference)
        except Refused as refused:
            missing = refused.missing
    page = {"commission": commission, "job": job, "form": form, "missing": missing}
    return render(request, "bench/take_back.html", page, status=409 if missing else 200)


@require_http_methods(["GET", "POST"])
@staff("owner", "jeweller")
def later(request, reference, pk):
    """Write down another day on which a supplier owes its work."""
    commission = commission_or_404(reference)
    job = _job(commission, pk)
    form = LaterForm(request.POST or None)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            actions.owe_later(job=job, person=request.user, **form.cleaned_data)
            return redirect("bench:date", reference)
        except Refused as refused:
            missing = refused.missing
    page = {"commission": commission, "job": job, "form": form, "missing": missing}
    status = 409 if missing else 422 if form.errors else 200
    return render(request, "bench/later.html", page, status=status)


@require_POST
@staff("owner", "jeweller")
def supplier_link(request, reference, pk):
    """Make a link for the supplier; it is shown this once."""
    commission = commission_or_404(reference)
    try:
        token = actions.make_link(job=_job(commission, pk), person=request.user)
    except Refused as refused:
        return _page(request, commission, form=SendForm(), missing=refused.missing)
    link = request.build_absolute_uri(reverse("bench:outside", args=[token]))
    return _page(request, commission, form=SendForm(), link=link, link_days=LINK_DAYS)


@require_GET
@staff("owner", "jeweller")
def slip(request, reference, pk):
    """The slip that goes with the work, to be printed."""
    job = _job(commission_or_404(reference), pk)
    page = {"job": job, "commission": job.commission, "sizes": _sizes(job)}
    return render(request, "bench/slip.html", page)


@require_GET
def outside(request, token):
    """What an outside setter sees: task, drawing and stones of one job, as long as it is out."""
    job = queries.by_link(link_hash=hash_of(token))
    if job is None:
        raise Http404
    page = {"job": job, "drawing": drawing.for_setter(commission=job.commission), "sizes": _sizes(job)}
    return render(request, "bench/outside.html", page)
