"""Paying by a hosted card page: sending the client there, and its notification."""

from __future__ import annotations

import logging

from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.shortcuts import redirect
from django.urls import reverse
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST

from commissions.money import actions, queries
from commissions.money.cards import BadNotice, card_page
from commissions.money.views.common import own
from commissions.record.errors import Refused

log = logging.getLogger(__name__)
MOST_BYTES = 20_000


@own
@require_POST
def pay_by_card(request, commission):
    """Go to the card page with what is due."""
    page = card_page()
    quote = queries.accepted_quote(commission=commission)
    if page is None or quote is None:
        raise Http404
    due = next((row for row in queries.plan_rows(quote=quote) if row.outstanding), None)
    back = reverse("money-yours:yours", args=[commission.reference])
    if due is None:
        return redirect(back)
    payment = actions.open_card_payment(instalment=due.instalment)
    return HttpResponseRedirect(
        page.address(
            token=payment.token,
            minor=payment.minor,
            currency=payment.currency,
            back=request.build_absolute_uri(back),
        )
    )


@csrf_exempt
@require_POST
def card_notice(request):
    """The card page's notification; its signature is its only way in."""
    page = card_page()
    if page is None:
        raise Http404
    if int(request.headers.get("Content-Length") or 0) > MOST_BYTES:
        return HttpResponse(status=413)
    try:
        notice = page.read(
            body=request.body,
            time=request.headers.get("X-Payment-Time", ""),
            signature=request.headers.get("X-Payment-Signature", ""),
        )
        actions.take_notice(notice=notice)
    except BadNotice as error:
        log.warning("A card notification was refused: %s", error)
        return HttpResponse(status=400)
    except Refused as refusal:
        log.warning("A card notification was refused: %s", refusal)
        return HttpResponse(status=409)
    return HttpResponse(status=204)
