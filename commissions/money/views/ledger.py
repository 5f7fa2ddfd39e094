"""The ledger's pages, and entering and correcting what stands in it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.money import actions, forms, queries
from commissions.money.models import BankLine, LineState
from commissions.money.views.common import commission_or_404
from commissions.money.views.quotation import _page
from commissions.record.errors import Refused
from studio import clock
from studio.people.access import staff


@staff("owner")
@require_GET
def glance(request):
    """What is held for whom, what is due, and what is at risk."""
    overdue, due = queries.due()
    pieces = queries.per_piece()
    return render(
        request,
        "money/glance.html",
        {
            "held": list(pieces.held.items()),
            "rows": pieces.rows,
            "more": pieces.more,
            "uncovered": list(pieces.uncovered.items()),
            "tray": BankLine.objects.filter(state__in=(LineState.UNMATCHED, LineState.ASKED)).count(),
            "overdue": overdue,
            "due": due,
            "overdue_sums": queries.sums_of(overdue),
            "due_sums": queries.sums_of(due),
            "date": clock.today(),
            "rule": queries.book_rule(),
        },
    )


@staff("owner")
@require_GET
def ledger(request):
    """One account with its running balance, newest first."""
    accounts = queries.accounts()
    asked = request.GET.get("account", "")
    named = (request.GET.get("code", "held"), request.GET.get("currency", ""))
    account = (
        next((row for row in accounts if str(row.pk) == asked), None)
        or next((row for row in accounts if (row.code, row.currency) == named), None)
        or next((row for row in accounts if row.code == "held"), accounts[0] if accounts else None)
    )
    after = request.GET.get("after", "")
    reference = request.GET.get("reference", "").strip().upper()
    page = (
        queries.ledger_page(
            account=account, after=int(after) if after.isdecimal() else None, reference=reference
        )
        if account
        else None
    )
    context = {
        "accounts": accounts,
        "account": account,
        "page": page,
        "reference": reference,
        "after": after,
        "rule": queries.book_rule(),
    }
    return render(request, "money/ledger.html", context)


@staff("owner")
@require_GET
def entry(request, pk: int):
    """Why this figure: one entry, its two sides, what it rests on, who wrote it."""
    found = queries.entry_of(pk=pk)
    if found is None:
        raise Http404
    return render(request, "money/entry.html", {"entry": found, "form": forms.Reason()})


@staff("owner")
@require_POST
def reverse(request, pk: int):
    """Correct an entry by one that turns it round."""
    found = queries.entry_of(pk=pk)
    if found is None:
        raise Http404
    form = forms.Reason(request.POST)
    if form.is_valid():
        try:
            made = actions.reverse(
                entry=found, reason=form.cleaned_data["reason"], by_words=str(request.user)
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The entry is turned round. Enter the right one now.")
            return redirect("money:entry", pk=made.pk)
    return render(request, "money/entry.html", {"entry": found, "form": form}, status=422)


@staff("owner")
@require_http_methods(["POST"])
def receipt(request, reference: str):
    """Enter money that has come in."""
    commission = commission_or_404(reference)
    form = forms.Receipt(request.POST, currency=commission.currency)
    alike = None
    if form.is_valid() and "another" not in request.POST:
        alike = queries.receipt_alike(commission=commission, **form.cleaned_data)
    if alike is None and form.is_valid():
        try:
            actions.post_receipt(
                commission=commission,
                currency=commission.currency,
                by_words=str(request.user),
                minor=form.cleaned_data["minor"],
                reference=form.cleaned_data["reference"],
                on=form.cleaned_data["on"],
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "The receipt is entered.")
            return redirect("money:money", reference=reference)
    page = _page(commission, receipt_form=form, alike=alike)
    return render(request, "money/money.html", page, status=409 if alike else 422)


@staff("owner")
@require_POST
def spent(request, reference: str):
    """Enter what was bought or booked for a job."""
    commission = commission_or_404(reference)
    form = forms.Spent(request.POST, currency=commission.currency)
    if form.is_valid():
        typed = form.cleaned_data
        try:
            actions.commit(
                commission=commission,
                kind=typed["kind"],
                words=typed["words"],
                minor=typed["minor"],
                key=f"{reference}:{typed['key']}",
                by_words=str(request.user),
                recoverable_minor=typed["recoverable"] or 0,
                recoverable_until=typed["until"],
                why=typed["why"],
                paid=typed["paid"],
            )
        except Refused as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, "It is entered.")
            return redirect("money:money", reference=reference)
    return render(request, "money/money.html", _page(commission, spent_form=form), status=422)
