"""The studio's pages of a small job on a finished ring."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.bench.small import RING_HERE
from commissions.delivery import actions, forms, queries
from commissions.delivery.models import TakenIn
from commissions.delivery.views.common import commission_or_404
from commissions.money import queries as money
from commissions.record.errors import Refused
from commissions.record.queries import open_questions
from commissions.record.route import Stage
from studio.people.access import staff


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def new(request, reference: str):
    """Open a resize or a repair, from the ring or from a worry about it."""
    ring = commission_or_404(reference)
    asked = request.GET.get("worry", "")
    worry = queries.worry_of(commission=ring, pk=int(asked)) if asked.isdecimal() else None
    start = {"words": worry.words} if worry else {}
    form = forms.JobForm(request.POST if request.method == "POST" else None, initial=start)
    missing = []
    if request.method == "POST" and form.is_valid():
        try:
            job = actions.open_job(ring=ring, worry=worry, person=request.user, **form.facts())
        except Refused as refusal:
            missing = refusal.missing
        else:
            return redirect("delivery:job", reference=job.reference)
    page = {"commission": ring, "worry": worry, "form": form, "missing": missing}
    return render(request, "delivery/job_new.html", page, status=409 if missing else 200)


def _page(request, commission, **more):
    record = queries.ring_record(commission=commission)
    context = {
        "commission": commission,
        "job": commission.small_job,
        "record": record,
        "facts": record.facts if record else None,
        "waits": open_questions(commission=commission).filter(key=RING_HERE).exists(),
        "taken": TakenIn.objects.filter(commission=commission).select_related("person").last(),
        "quote": money.open_quote(commission=commission) or money.accepted_quote(commission=commission),
        "agreed": money.standing_approval(commission=commission),
        "at_agreement": commission.stage == Stage.AGREEMENT,
        "offer": forms.OfferForm(currency=commission.currency),
        "take_in": forms.TakeInForm(),
        "missing": [],
        **more,
    }
    if context["quote"]:
        context["totals"] = money.totals(quote=context["quote"])
    return render(request, "delivery/job.html", context, status=409 if context["missing"] else 200)


def _job_or_404(reference: str):
    commission = commission_or_404(reference)
    if not commission.ring_id:
        raise Http404
    return commission


@staff("owner", "jeweller")
@require_GET
def job(request, reference: str):
    """One small job: what is asked, what it costs, whether the ring is here."""
    return _page(request, _job_or_404(reference))


@staff("owner")
@require_POST
def offer(request, reference: str):
    """Say what it costs."""
    commission = _job_or_404(reference)
    form = forms.OfferForm(request.POST, currency=commission.currency)
    if not form.is_valid():
        return _page(request, commission, offer=form)
    try:
        actions.offer_job(commission=commission, person=request.user, **form.facts())
    except Refused as refusal:
        return _page(request, commission, offer=form, missing=refusal.missing)
    return redirect("delivery:job", reference=reference)


@staff("owner", "jeweller")
@require_POST
def take_in(request, reference: str):
    """The ring is here: weighed and looked at."""
    commission = _job_or_404(reference)
    form = forms.TakeInForm(request.POST)
    if not form.is_valid():
        return _page(request, commission, take_in=form)
    try:
        actions.take_in_ring(commission=commission, person=request.user, **form.facts())
    except Refused as refusal:
        return _page(request, commission, take_in=form, missing=refusal.missing)
    return redirect("delivery:job", reference=reference)
