"""Sending a revision, and saying beforehand how many are included."""

from __future__ import annotations

from urllib.parse import urlencode

from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.design import actions, comments, forms, queries, terms
from commissions.design.models import Status
from commissions.design.views.common import commission_of, revision_of
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import ROUTE, Stage
from studio.amounts import from_minor
from studio.people.access import staff


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def send(request, reference: str, letter: str):
    """What the client will get, what it settles, whether it is beyond what is included; then it is sent."""
    revision = revision_of(reference, letter)
    commission = revision.commission
    talks = comments.open_talks(commission=commission)
    included = terms.included(commission=commission)
    form = forms.Send(
        request.POST if request.method == "POST" else None,
        talks=talks,
        included=included,
        stops=queries.stops(revision),
    )
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        chosen = set(typed.get("settles") or [])
        try:
            actions.send_revision(
                revision=revision,
                person=request.user,
                settles=[talk.comment for talk in talks if str(talk.comment.pk) in chosen],
                uncounted_reason=typed.get("reason", "") if typed.get("ours") else "",
                despite=typed.get("despite", ""),
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(
                request, f"Revision {letter} is sent. The letter that announces it waits to be looked at."
            )
            return redirect("design:design", reference=reference)
    elif revision.status != Status.DRAFT:
        return redirect("design:design", reference=reference)
    page = {
        "commission": commission,
        "revision": revision,
        "form": form,
        "talks": talks,
        "included": included,
        "facts": queries.client_facts_of(revision),
        "charge": charge_address(commission, included, letter),
        "agreed_before": ROUTE.index(commission.stage) >= ROUTE.index(Stage.MODEL),
    }
    return render(request, "design/send.html", page)


def charge_address(commission: Commission, included: terms.Included | None, letter: str) -> str:
    """Where a revision beyond those included becomes a line of the price, with words and sum filled in."""
    if included is None or not included.beyond or included.price_minor is None:
        return ""
    said = {
        "asked_by": "client",
        "why": "A further revision, at the price said beforehand",
        "what": f"Design revision {letter}, beyond the {included.included} included",
        "price": str(from_minor(minor=included.price_minor, currency=included.currency)),
    }
    return f"/studio/commissions/{commission.reference}/money/changes/?{urlencode(said)}"


@staff("owner")
@require_http_methods(["GET", "POST"])
def revision_terms(request, reference: str):
    """How many revisions of this commission are included, and what the next one costs."""
    commission = commission_of(reference)
    included = terms.included(commission=commission)
    form = forms.Terms(
        request.POST if request.method == "POST" else None,
        currency=commission.currency,
        initial=forms.terms_typed(included),
    )
    if request.method == "POST" and form.is_valid():
        for where in (commission, None) if "usual" in request.POST else (commission,):
            actions.say_terms(
                commission=where,
                included=form.cleaned_data["included"],
                price_minor=form.cleaned_data["price"],
                currency=commission.currency,
                person=request.user,
            )
        messages.success(request, "Kept. The client reads it where comments are made.")
        return redirect("design:design", reference=reference)
    page = {"commission": commission, "form": form, "included": included}
    return render(request, "design/terms.html", page)
