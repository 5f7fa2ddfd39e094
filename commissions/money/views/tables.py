"""The studio's own tables: prices and tax codes."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissions.money import actions, forms, pricing, queries
from commissions.money.models import BankDetails, TaxCode
from commissions.record.errors import Refused
from studio import clock
from studio.amounts import exponent
from studio.people.access import staff


@staff("owner")
@require_http_methods(["GET", "POST"])
def prices(request, currency: str):
    """The price list of a currency: what is kept is a new list from today on."""
    try:
        exponent(currency)
    except ValueError:
        raise Http404 from None
    before = pricing.price_list(currency=currency)
    initial = {"source": before.source} if before else {}
    form = forms.Prices(request.POST or None, before=before, initial=initial)
    if request.method == "POST" and form.is_valid():
        try:
            actions.keep_prices(
                currency=currency,
                source=form.cleaned_data["source"],
                prices=form.prices(),
                person=request.user,
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(
                request, "The new prices hold from today; quotations that were sent keep theirs."
            )
            return redirect("money:prices", currency=currency)
    return render(request, "money/prices.html", {"form": form, "before": before, "currency": currency})


@staff("owner")
@require_http_methods(["GET", "POST"])
def bank(request):
    """Where clients pay to: what holds, what waits, and a change."""
    form = forms.Bank(request.POST or None, currencies=queries.currencies())
    if request.method == "POST" and "withdraw" in request.POST:
        details = get_object_or_404(BankDetails, pk=request.POST["withdraw"])
        try:
            actions.withdraw_bank_details(details=details, person=request.user)
        except Refused as refusal:
            messages.error(request, str(refusal))
        return redirect("money:bank")
    if request.method == "POST" and form.is_valid():
        try:
            made = actions.change_bank_details(person=request.user, **form.cleaned_data)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            when = "now" if made.live_at <= clock.now() else "in 48 hours"
            messages.success(request, f"The details for {made.currency} hold {when}.")
            return redirect("money:bank")
    holding = [row for code in queries.currencies() if (row := queries.bank_details(currency=code))]
    context = {"form": form, "holding": holding, "waiting": queries.waiting_bank_details()}
    return render(request, "money/bank.html", context)


@staff("owner")
@require_http_methods(["GET", "POST"])
def taxes(request):
    """The tax table: rates are the studio's to set and to check."""
    form = forms.TaxRow(request.POST or None, initial={"checked_on": clock.today()})
    if request.method == "POST" and form.is_valid():
        try:
            actions.keep_tax_code(person=request.user, **form.cleaned_data)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{form.cleaned_data['code']} is kept.")
            return redirect("money:taxes")
    return render(
        request, "money/taxes.html", {"form": form, "codes": TaxCode.objects.order_by("country", "code")}
    )
