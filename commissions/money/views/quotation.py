"""The money of one commission: its quotation, plan, receipts and cover."""

from __future__ import annotations

import datetime

from django.contrib import messages
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.design.queries import agreed
from commissions.money import actions, forms, pricing, queries
from commissions.money import bundle as bundles
from commissions.money.actions.quoting import VALID_DAYS
from commissions.money.forms.quotation import initial_of, lines_formset
from commissions.money.lines import NewLine, rounded
from commissions.money.models import Entry
from commissions.money.more_papers import papers_of
from commissions.money.views.common import commission_or_404
from commissions.record.errors import Refused
from commissions.sourcing.queries import chosen
from studio import clock
from studio.people.access import staff


def _page(commission, **more) -> dict:
    quotes = list(queries.quotes(commission=commission))[::-1]
    accepted = next((row for row in quotes if row.status == "accepted"), None)
    approval = queries.standing_approval(commission=commission)
    totals = queries.totals_of(quotes=quotes)
    shown = [
        {
            "quote": quote,
            "totals": totals[quote.pk],
            "differences": _differences(before=quotes[place + 1], after=quote)
            if place + 1 < len(quotes)
            else [],
        }
        for place, quote in enumerate(quotes)
    ]
    committed = queries.committed(commission=commission)
    settled = queries.settled(commission=commission)
    return {
        "commission": commission,
        "shown": shown,
        "accepted": accepted,
        "approval": approval,
        "fingerprint": bundles.short(approval.digest) if approval else "",
        "changed": queries.approval_differences(commission=commission) if approval else [],
        "plan": queries.plan_rows(quote=accepted) if accepted else [],
        "settled": settled,
        "held": queries.held(commission=commission),
        "committed": committed,
        "cover": settled / committed if committed > 0 else None,
        "uncovered": max(0, committed - settled),
        "entries": Entry.objects.filter(commission=commission).select_related("reversed_by").order_by("-id"),
        "commitments": commission.commitments.order_by("id"),
        "profit": queries.profit(commission=commission),
        "papers": papers_of(commission=commission),
        "receipt_form": forms.Receipt(currency=commission.currency),
        "spent_form": forms.Spent(currency=commission.currency),
        "send_form": forms.Send(initial={"valid_until": clock.today() + datetime.timedelta(days=VALID_DAYS)}),
        **more,
    }


def _differences(*, before, after) -> list[str]:
    """What changed from one version to the next, line by line, in words and minor units."""
    old = {(row.kind, row.words): row.total_minor + row.tax_minor for row in before.lines.all()}
    new = {(row.kind, row.words): row.total_minor + row.tax_minor for row in after.lines.all()}
    rows = []
    for key in [*old, *[key for key in new if key not in old]]:
        if old.get(key) != new.get(key):
            rows.append({"words": key[1], "before": old.get(key), "after": new.get(key)})
    return rows


@staff("owner")
@require_GET
def money(request, reference: str):
    """Everything about the money of one commission."""
    commission = commission_or_404(reference)
    return render(request, "money/money.html", _page(commission))


def _worked(commission) -> pricing.Worked:
    revision = agreed(commission=commission)
    prices = pricing.price_list(currency=commission.currency)
    if revision is None or prices is None:
        worked = pricing.Worked()
        if revision is None:
            worked.notes.append(
                "The client has not agreed to a design yet: nothing can be worked out from it."
            )
        if prices is None:
            worked.notes.append(f"There is no price list in {commission.currency} yet.")
        return worked
    return pricing.work_out(
        commission=commission,
        revision=revision,
        stone=chosen(commission=commission),
        prices=prices,
        tax=pricing.proposed_tax(country=commission.client.country),
    )


def _kept_lines(quote) -> list[NewLine]:
    names = (
        "kind",
        "words",
        "quantity",
        "unit",
        "unit_minor",
        "cost_minor",
        "tax_code",
        "tax_rate",
        "computed_from",
    )
    return [NewLine(**{name: getattr(row, name) for name in names}) for row in quote.lines.all()]


def _version_before(commission):
    """The draft, or else the newest version in the currency of the commission, from which the next begins."""
    draft = queries.draft_quote(commission=commission)
    return draft or queries.quotes(commission=commission).filter(currency=commission.currency).last()


def _start(commission, *, anew: bool):
    """
    Lines to show first: those of the draft or of the version sent last; *anew* those worked out, with the
    hand lines of that version after them.
    """
    before = _version_before(commission)
    worked = _worked(commission)
    if before is None:
        return worked.lines, worked
    kept = _kept_lines(before)
    if not anew:
        return kept, pricing.Worked(notes=[])
    by_hand = [line for line in kept if line.computed_from.get("by") == "hand"]
    return [*worked.lines, *by_hand], worked


@staff("owner")
@require_http_methods(["GET", "POST"])
def quotation(request, reference: str):
    """The quotation's table: *Look* adds it up, *Keep* keeps it as the draft."""
    commission = commission_or_404(reference)
    known, worked = _start(commission, anew="anew" in request.GET)
    table = lines_formset()
    if request.method == "POST":
        lines = table(request.POST, prefix="line")
        terms = forms.Terms(request.POST)
        good = lines.is_valid() & terms.is_valid()
        typed = forms.lines_of(lines, currency=commission.currency, known=known) if good else []
        if good and "keep" in request.POST:
            try:
                actions.draft_quote(
                    commission=commission, lines=typed, person=request.user, **terms.cleaned_data
                )
            except Refused as refusal:
                terms.add_error(None, str(refusal))
            else:
                messages.success(request, "The draft is kept. Send it when it is right.")
                return redirect("money:money", reference=reference)
    else:
        lines = table(initial=initial_of(known, currency=commission.currency), prefix="line")
        terms = forms.Terms(initial=_terms(commission, worked))
        typed, good = known, True
    context = {
        "commission": commission,
        "lines": lines,
        "terms": terms,
        "notes": worked.notes,
        "held": queries.settled(commission=commission),
        "sums": _sums(typed) if good and typed else None,
    }
    template = "money/preview.html" if request.htmx else "money/quotation.html"
    # htmx shows no answer that is an error: what is to be put right is the preview then.
    return render(request, template, context, status=200 if good or request.htmx else 422)


def _terms(commission, worked) -> dict:
    before = _version_before(commission)
    if before:
        names = (
            "plan",
            "country",
            "tax_note",
            "metal_clause",
            "withdrawal",
            "note",
            "second_currency",
            "second_rate",
            "second_source",
            "landed_duty",
            "landed_tax",
            "landed_source",
            "landed_on",
        )
        return {name: getattr(before, name) for name in names}
    prices = pricing.price_list(currency=commission.currency)
    tax = pricing.proposed_tax(country=commission.client.country)
    return {
        "plan": "40/30/30",
        "country": commission.client.country,
        "tax_note": f"{tax.words} ({tax.rate.normalize():f} %)" if tax else "",
        "metal_clause": pricing.metal_clause(worked=worked, prices=prices)[:400] if prices else "",
        "withdrawal": actions.quoting.WITHDRAWAL_EXCLUDED,
    }


def _sums(lines: list[NewLine]) -> dict:
    net = tax = cost = 0
    for line in lines:
        total = rounded(line.quantity * line.unit_minor)
        net += total
        tax += rounded(total * line.tax_rate / 100)
        cost += line.cost_minor
    margin = net - cost
    return {
        "net": net,
        "tax": tax,
        "gross": net + tax,
        "cost": cost,
        "margin": margin,
        "margin_percent": round(100 * margin / net, 1) if net else None,
    }


@staff("owner")
@require_POST
def send(request, reference: str):
    """Send the draft to the client; from here on it is frozen."""
    commission = commission_or_404(reference)
    quote = queries.draft_quote(commission=commission)
    form = forms.Send(request.POST)
    if quote is None:
        messages.error(request, "There is no draft to send.")
        return redirect("money:money", reference=reference)
    missing = []
    if form.is_valid():
        try:
            actions.send_quote(quote=quote, person=request.user, valid_until=form.cleaned_data["valid_until"])
        except Refused as refusal:
            missing = refusal.missing
        else:
            messages.success(
                request,
                f"Quotation {quote.version} is sent. The letter that announces it waits to be looked at.",
            )
            return redirect("money:money", reference=reference)
    page = _page(commission, missing=missing, send_form=form)
    return render(request, "money/money.html", page, status=409 if missing else 422)
