"""How the books are kept: closed months, and when a sale is booked."""

from __future__ import annotations

from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.money import actions, forms, queries
from commissions.money.models import BankLine, LineState
from commissions.record.errors import Refused
from studio.people.access import staff


@staff("owner")
@require_http_methods(["GET", "POST"])
def periods(request):
    """The months of the ledger: which are closed and what that means; close one."""
    months = queries.months()
    form = forms.Close(
        request.POST or None, months=[row.first for row in months[::-1] if row.over and not row.period]
    )
    if request.method == "POST" and form.is_valid():
        try:
            period = actions.close_period(person=request.user, **form.year_and_month())
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"{period.month:02d}/{period.year} is closed.")
            return redirect("money:periods")
    waiting = BankLine.objects.filter(state__in=(LineState.UNMATCHED, LineState.ASKED)).count()
    context = {"form": form, "months": months, "late": queries.late_entries(), "waiting": waiting}
    return render(request, "money/periods.html", context, status=422 if form.errors else 200)


@staff("owner")
@require_http_methods(["GET", "POST"])
def rule(request):
    """When sales and their tax are booked, from now on."""
    now = queries.book_rule()
    form = forms.Rule(request.POST or None, initial={"sale": now.sale, "tax": now.tax})
    if request.method == "POST" and form.is_valid():
        try:
            actions.keep_rule(person=request.user, **form.cleaned_data)
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The rule holds for entries from now on.")
            return redirect("money:rule")
    context = {"form": form, "now": now, "rules": queries.book_rules()}
    return render(request, "money/rule.html", context, status=422 if form.errors else 200)
