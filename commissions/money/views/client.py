"""Price and payments: what the client reads, asks and agrees to."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.design.comparing import size_words
from commissions.money import actions, forms, papers, queries
from commissions.money import bundle as bundles
from commissions.money.cards import card_page
from commissions.money.models import Entry
from commissions.money.more_papers import papers_of
from commissions.money.views.common import own
from commissions.record.actions import post_message
from commissions.record.errors import Refused
from studio import amounts
from studio.people.access import stepped_up


@own
@require_GET
def yours(request, commission):
    """The quotation as it will be signed, the plan, what is settled and what is due."""
    return render(request, "money/yours.html", _page(commission))


def _page(commission, **more) -> dict:
    waiting = queries.open_quote(commission=commission)
    accepted = queries.accepted_quote(commission=commission)
    quote = waiting or accepted
    approval = queries.standing_approval(commission=commission)
    plan = queries.plan_rows(quote=accepted) if accepted else []
    return {
        "commission": commission,
        "waiting": waiting,
        "accepted": accepted,
        "shown": papers.quotation(quote=quote) if quote else None,
        "plan": plan,
        "due": next((row for row in plan if row.outstanding and row.instalment.requested_at), None),
        "open": sum(row.outstanding for row in plan),
        "settled": queries.settled(commission=commission),
        "approval": approval,
        "changed": bool(approval and queries.approval_differences(commission=commission)),
        "fingerprint": bundles.short(approval.digest) if approval else "",
        "receipts": Entry.objects.filter(
            commission=commission, kind="receipt", reversed_by__isnull=True
        ).order_by("id"),
        "papers": papers_of(commission=commission),
        "ask": forms.Ask(),
        **more,
    }


@own
@stepped_up
@require_http_methods(["GET", "POST"])
def agree(request, commission):
    """Read it once more, then order with the duty to pay."""
    quote = queries.open_quote(commission=commission)
    if quote is None:
        return redirect("money-yours:yours", reference=commission.reference)
    shown = papers.quotation(quote=quote)
    total = amounts.written(minor=shown["totals"]["gross"], currency=quote.currency)
    button = _("Approve and agree to pay %(total)s") % {"total": total}
    form = forms.Agree(request.POST if request.method == "POST" else None, bundle=shown["bundle"])
    refused = _changed(request, quote, shown) if request.method == "POST" else []
    if request.method == "POST" and not refused and form.is_valid():
        try:
            actions.approve(
                quote=quote,
                shown_digest=request.POST.get("digest", ""),
                consent=" · ".join(
                    filter(
                        None, [str(form.fields["consent"].label), binding_words(), button, quote.withdrawal]
                    )
                ),
                method="passphrase after a one-time code",
                by_words=commission.client.full_name,
                access=request.client_access,
                confirmed=form.confirmed(),
            )
        except Refused as refusal:
            refused = [row.words for row in refusal.missing]
            shown = papers.quotation(quote=quote)
        else:
            return redirect("money-yours:yours", reference=commission.reference)
    if refused:
        # What was typed stays; that it was read is to be said anew.
        typed = {name: request.POST.get(name, "") for name in ("size", "engraving")}
        form = forms.Agree(initial=typed, bundle=shown["bundle"])
    actions.keep_shown(quote=quote, bundle=shown["bundle"])
    context = {
        "commission": commission,
        "quote": quote,
        "shown": shown,
        "form": form,
        "button": button,
        "binding": binding_words(),
        "size": size_words(shown["bundle"]["size_mm"]) if shown["bundle"]["size_mm"] else "",
        "refused": refused,
    }
    status = 409 if refused else 422 if form.errors else 200
    return render(request, "money/agree.html", context, status=status)


def _changed(request, quote, shown) -> list[str]:
    """What to say where something else is there now than what was on the page that was sent."""
    sent = request.POST.get("digest", "")
    if sent == shown["digest"]:
        return []
    return [
        _("Something has changed since this page was shown. Please read it again before you agree."),
        *queries.changed_since(quote=quote, shown_digest=sent, now=shown["bundle"]),
    ]


def binding_words() -> str:
    """What the button does, in the words that are kept with the approval."""
    return _(
        "With this button you enter a contract: we make the ring as it stands here, and you pay as the plan says. "
        "It cannot be taken back by a click."
    )


@own
@stepped_up
@require_GET
def how_to_pay(request, commission):
    """Bank details, the sum and the reference: on this page and nowhere else."""
    page = _page(commission)
    currency = commission.currency
    context = {
        "commission": commission,
        "accepted": page["accepted"],
        "due": page["due"],
        "details": queries.bank_details(currency=currency),
        "changes": queries.waiting_bank_details(currency=currency).first(),
        "by_card": card_page() is not None and page["due"] is not None,
    }
    return render(request, "money/how_to_pay.html", context)


@own
@require_POST
def ask(request, commission):
    """Ask something about the price, or say not yet; it goes into the thread."""
    form = forms.Ask(request.POST)
    quote = queries.open_quote(commission=commission)
    if quote is None:
        raise Http404
    if not form.is_valid():
        return render(request, "money/yours.html", _page(commission, ask=form), status=422)
    if "not-yet" in request.POST:
        words = _("Not yet, about quotation %(version)s:") % {"version": quote.version}
    else:
        words = _("A question about quotation %(version)s:") % {"version": quote.version}
    post_message(commission=commission, body=f"{words} {form.cleaned_data['words']}"[:5000], from_client=True)
    return render(request, "money/yours.html", _page(commission, asked=True))
