"""Withdrawing from a contract: the studio says where it applies, the client declares it in two steps."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods

from commissions.money.actions import withdrawing
from commissions.money.forms.withdrawing import Declaration, Right
from commissions.money.models import Withdrawal
from commissions.money.views.common import commission_or_404, own
from commissions.record.errors import Refused
from studio.people.access import staff


@staff("owner")
@require_http_methods(["GET", "POST"])
def right(request, reference: str):
    """Whether this client may withdraw, and until when."""
    commission = commission_or_404(reference)
    form = Right(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        withdrawing.keep_right(commission=commission, by=request.user, **form.cleaned_data)
        messages.success(request, "Kept: the client's pages follow it from now on.")
        return redirect("money:withdrawal-right", reference=reference)
    context = {
        "commission": commission,
        "form": form,
        "right": withdrawing.right_of(commission=commission),
        "open": withdrawing.may_withdraw(commission=commission),
        "declared": Withdrawal.objects.filter(commission=commission).first(),
    }
    return render(request, "money/withdrawal_right.html", context)


@own
@require_http_methods(["GET", "POST"])
def withdraw(request, commission):
    """Two steps: the declaration as it will read, then the press that makes it; the receipt afterwards."""
    declared = Withdrawal.objects.filter(commission=commission).first()
    if declared is None and not withdrawing.may_withdraw(commission=commission):
        raise Http404
    form = Declaration(
        request.POST if request.method == "POST" else None, initial={"name": commission.client.full_name}
    )
    words = ""
    if request.method == "POST" and declared is None and form.is_valid():
        words = _("I, %(name)s, withdraw from the contract %(reference)s.") % {
            "name": form.cleaned_data["name"],
            "reference": commission.reference,
        }
        if form.cleaned_data["sure"]:
            try:
                withdrawing.withdraw_from_contract(
                    commission=commission,
                    name=form.cleaned_data["name"],
                    words=words,
                    access=request.client_access,
                )
            except Refused as refusal:
                messages.error(request, str(refusal))
            return redirect("money-yours:withdraw", reference=commission.reference)
    context = {
        "commission": commission,
        "form": form,
        "declared": declared,
        "declaration": words,
        "right": withdrawing.right_of(commission=commission),
    }
    return render(request, "money/withdraw.html", context)
