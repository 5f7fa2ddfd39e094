"""Pages of the stones' room."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.record.errors import Refused
from commissions.record.queries import by_reference
from commissions.record.route import ROUTE, Stage
from commissions.sourcing import actions, forms, queries
from commissions.sourcing.models import Stone
from commissions.sourcing.papers import short
from commissions.sourcing.queries.ordering import SEAT_FIT_MM
from studio import clock
from studio.papers import PapersUnavailable, make
from studio.people.access import client as client_page
from studio.people.access import staff


def _commission(reference: str):
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    return commission


@staff("owner", "jeweller")
@require_GET
def stones(request):
    """What lies here, what has to go back and when."""
    return render(
        request,
        "sourcing/stones.html",
        {"memo": queries.register(), "exposure": queries.exposure(), "rows": list(queries.here())},
    )


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def of_commission(request, reference: str):
    """The stones of one commission: add, offer, choose."""
    commission = _commission(reference)
    form = forms.Candidate(request.POST or None, currency=commission.currency)
    if request.method == "POST" and form.is_valid():
        try:
            actions.add_candidate(commission=commission, person=request.user, **form.facts())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            return redirect("sourcing:commission", reference=reference)
    return render(
        request,
        "sourcing/commission.html",
        {
            "commission": commission,
            "rows": queries.compared(commission=commission),
            "seat": queries.seat_of(commission=commission),
            "asked": queries.client_is_asked(commission=commission),
            "form": form,
        },
    )


@staff("owner", "jeweller")
@require_GET
def order(request, reference: str):
    """The small stones that one ring wants: at the job, in the drawer, to be ordered."""
    commission = _commission(reference)
    found = queries.order_of(commission=commission)
    return render(
        request,
        "sourcing/order.html",
        {
            "commission": commission,
            "order": found,
            "lots": queries.lots_for(order=found) if found else [],
            "reckoning": queries.reconcile(commission=commission),
            # Until the setting is done stones lie open at the job as they should.
            "in_hand": ROUTE.index(commission.stage) <= ROUTE.index(Stage.SETTING),
        },
    )


@staff("owner", "jeweller")
@require_GET
def order_pdf(request, reference: str):
    """The order on paper, for the supplier: no client, no price."""
    commission = _commission(reference)
    found = queries.order_of(commission=commission)
    if found is None:
        raise Http404
    try:
        paper = make(
            template="print/stone_order.html",
            context={
                "order": found,
                "reference": reference,
                "digest": short(found.digest),
                "fit": SEAT_FIT_MM,
                "today": clock.today(),
            },
        )
    except PapersUnavailable as lacking:
        return HttpResponse(str(lacking), status=503, content_type="text/plain")
    return HttpResponse(
        paper.content,
        content_type="application/pdf",
        headers={"Content-Disposition": f'inline; filename="order-{reference}.pdf"'},
    )


@staff("owner", "jeweller")
@require_POST
def offer(request, reference: str):
    """Ask the client to choose."""
    commission = _commission(reference)
    try:
        actions.offer_stones(commission=commission, person=request.user)
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(request, "The client is asked to choose.")
    return redirect("sourcing:commission", reference=reference)


@staff("owner", "jeweller")
@require_POST
def choose(request, reference: str, pk: int):
    """Choose a stone for the client, at their word."""
    stone = get_object_or_404(
        Stone.objects.select_related("commission"), pk=pk, commission__reference=reference
    )
    try:
        actions.choose_stone(stone=stone, by_words=str(request.user))
    except Refused as refusal:
        messages.error(request, str(refusal))
    return redirect("sourcing:commission", reference=reference)


@client_page
@require_http_methods(["GET", "POST"])
def yours(request, reference: str):
    """The client compares two or three stones and chooses."""
    commission = _commission(reference)
    if commission.client.access_id != request.client_access.pk:
        raise Http404
    asked = queries.client_is_asked(commission=commission)
    if request.method == "POST" and asked:
        stone = get_object_or_404(Stone, pk=request.POST.get("stone") or 0, commission=commission)
        try:
            actions.choose_stone(stone=stone, by_words=commission.client.full_name)
        except Refused as refusal:
            messages.error(request, str(refusal))
        return redirect("sourcing-yours:stones", reference=reference)
    return render(
        request,
        "sourcing/yours.html",
        {
            "commission": commission,
            "rows": queries.compared(commission=commission),
            "asked": asked,
            "seat": queries.seat_of(commission=commission),
            **queries.waits_for_client(commission=commission),
        },
    )
