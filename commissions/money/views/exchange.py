"""Money in another currency: a receipt, a bill, its payment; and what broke of what was bought."""

from __future__ import annotations

import uuid

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissions.money import actions, forms
from commissions.money.models import BankLine, Commitment, LineState
from commissions.money.views.common import commission_or_404
from commissions.record.errors import Refused
from studio.amounts import from_minor
from studio.people.access import staff


def _waiting_line(request, commission) -> BankLine | None:
    """The receipt in the tray that this page was opened for."""
    asked = request.GET.get("line", "")
    if not asked.isdecimal():
        return None
    lines = BankLine.objects.filter(state=LineState.UNMATCHED).exclude(currency=commission.currency)
    return get_object_or_404(lines, pk=int(asked))


def _of_line(line: BankLine) -> dict:
    return {
        "foreign_currency": line.currency,
        "foreign": f"{from_minor(minor=line.minor, currency=line.currency):f}",
        "on": line.on,
        "reference": f"statement line {line.pk}",
    }


@staff("owner")
@require_http_methods(["GET", "POST"])
def receipt_abroad(request, reference: str):
    """Enter a receipt in another currency, with the rate of its day and what it settles."""
    commission = commission_or_404(reference)
    line = _waiting_line(request, commission)
    form = forms.ReceiptAbroad(
        request.POST or None, currency=commission.currency, initial=_of_line(line) if line else None
    )
    if request.method == "POST" and form.is_valid():
        try:
            foreign = actions.Foreign(
                minor=form.foreign_minor(),
                currency=form.cleaned_data["foreign_currency"],
                rate=actions.keep_rate(person=request.user, **form.rate_of()),
            )
            settles = form.settles_minor() or foreign.worth(currency=commission.currency)
            if line:
                actions.match_line(
                    line=line, commission=commission, person=request.user, foreign=foreign, settles=settles
                )
            else:
                actions.post_receipt(
                    commission=commission,
                    minor=settles,
                    currency=commission.currency,
                    reference=form.cleaned_data["reference"],
                    by_words=str(request.user),
                    on=form.cleaned_data["on"],
                    foreign=foreign,
                )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The receipt is entered, with its rate.")
            return redirect("money:money", reference=reference)
    context = {"commission": commission, "form": form, "line": line}
    return render(request, "money/receipt_abroad.html", context, status=422 if form.errors else 200)


@staff("owner")
@require_http_methods(["GET", "POST"])
def bill_abroad(request, reference: str):
    """Enter a supplier's bill in another currency."""
    commission = commission_or_404(reference)
    form = forms.BillAbroad(request.POST or None, currency=commission.currency)
    if request.method == "POST" and form.is_valid():
        typed = form.cleaned_data
        try:
            bill = actions.Foreign(
                minor=form.foreign_minor(),
                currency=typed["foreign_currency"],
                rate=actions.keep_rate(person=request.user, **form.rate_of()),
            )
            actions.commit(
                commission=commission,
                kind=typed["kind"],
                words=typed["words"],
                minor=bill.worth(currency=commission.currency),
                key=f"{reference}:{typed['key']}",
                by_words=str(request.user),
                recoverable_minor=form.recoverable_minor(),
                recoverable_until=typed["until"],
                why=typed["why"],
                on=typed["on"],
                bill=bill,
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The bill is entered. Say here when it is paid.")
            return redirect("money:money", reference=reference)
    context = {"commission": commission, "form": form}
    return render(request, "money/bill_abroad.html", context, status=422 if form.errors else 200)


@staff("owner")
@require_http_methods(["GET", "POST"])
def bill(request, reference: str, pk: int):
    """One purchase of a job: say that its bill is paid, or that something of it broke."""
    commission = commission_or_404(reference)
    row = get_object_or_404(Commitment.objects.select_related("entry"), commission=commission, pk=pk)
    owed, currency = row.owed
    paid = forms.Paid(
        request.POST if "paid" in request.POST else None,
        currencies=list(dict.fromkeys([currency, commission.currency])),
        initial={"amount": f"{from_minor(minor=owed, currency=currency):f}"}
        if currency == commission.currency
        else None,
    )
    broken = forms.Broken(request.POST if "broken" in request.POST else None, currency=commission.currency)
    if request.method == "POST":
        try:
            said = _bill_act(request, row, paid, broken)
        except Refused as refusal:
            (paid if paid.is_bound else broken).add_error(None, str(refusal))
        else:
            if said:
                messages.success(request, said)
                return redirect("money:money", reference=reference)
    context = {
        "commission": commission,
        "row": row,
        "owed": owed,
        "currency": currency,
        "paid": paid,
        "broken": broken,
        "may_break": row.kind in ("stone", "metal"),
        "turn": request.POST.get("turn") or uuid.uuid4().hex,
    }
    return render(request, "money/bill.html", context, status=422 if paid.errors or broken.errors else 200)


def _bill_act(request, row: Commitment, paid, broken) -> str:
    """What was done, in words; empty where something typed is to be put right."""
    if paid.is_bound and paid.is_valid():
        actions.pay_bill(
            commitment=row,
            minor=paid.minor(),
            currency=paid.cleaned_data["currency"],
            reference=paid.cleaned_data["reference"],
            person=request.user,
            on=paid.cleaned_data["on"],
        )
        return "The payment is entered."
    if broken.is_bound and broken.is_valid():
        actions.write_off(
            commitment=row,
            minor=broken.minor(),
            why=broken.cleaned_data["why"],
            key=f"{row.pk}:{request.POST.get('turn', '')[:40]}",
            by_words=str(request.user),
        )
        return "It is entered as a loss that we bear."
    return ""
