"""After the agreement: change notes, the end of a commission, exports."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, StreamingHttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods

from commissions.money import actions, exports, forms, queries
from commissions.money.actions.changing import digest_of
from commissions.money.cancellation import statement
from commissions.money.models import ChangeNote, ChangeStatus
from commissions.money.views.common import commission_or_404, own
from commissions.record.errors import Refused
from commissions.record.route import State
from studio import amounts
from studio.people.access import staff, stepped_up


@staff("owner")
@require_http_methods(["GET", "POST"])
def changes(request, reference: str):
    """The change notes of a commission, and a new one."""
    commission = commission_or_404(reference)
    # Another page may bring the words and the sum, such as a revision beyond those included.
    brought = {
        name: request.GET[name] for name in ("what", "why", "asked_by", "price") if name in request.GET
    }
    form = forms.Change(request.POST or None, currency=commission.currency, initial=brought)
    missing = []
    if request.method == "POST" and "withdraw" in request.POST:
        note = get_object_or_404(ChangeNote, commission=commission, number=request.POST["withdraw"])
        try:
            actions.end_change(note=note, by_client=False, by_words=str(request.user))
        except Refused as refusal:
            messages.error(request, str(refusal))
        return redirect("money:changes", reference=reference)
    if request.method == "POST" and form.is_valid():
        try:
            note = actions.send_change(commission=commission, person=request.user, **form.act())
        except Refused as refusal:
            missing = refusal.missing
        else:
            messages.success(
                request, f"Change note {note.number} is sent. Nothing changes until it is approved."
            )
            return redirect("money:changes", reference=reference)
    notes = ChangeNote.objects.filter(commission=commission).order_by("-number")
    context = {"commission": commission, "form": form, "notes": notes, "missing": missing}
    return render(request, "money/changes.html", context, status=409 if missing else 200)


@own
@stepped_up
@require_http_methods(["GET", "POST"])
def your_change(request, commission, number: int):
    """A change note as the client reads it: approve, or leave it as it was."""
    note = ChangeNote.objects.select_related("quote").filter(commission=commission, number=number).first()
    approval = queries.standing_approval(commission=commission)
    if note is None or note.status == ChangeStatus.WITHDRAWN or approval is None:
        raise Http404
    total = amounts.written(minor=note.gross_minor, currency=note.quote.currency)
    if note.gross_minor > 0:
        button = _("Approve with obligation to pay %(total)s more") % {"total": total}
    else:
        button = _("Approve this change")
    refused = ""
    if request.method == "POST":
        try:
            if "decline" in request.POST:
                actions.end_change(note=note, by_client=True, by_words=commission.client.full_name)
            else:
                actions.approve_change(
                    note=note,
                    shown_digest=request.POST.get("digest", ""),
                    consent=button,
                    method="passphrase after a one-time code",
                    by_words=commission.client.full_name,
                    access=request.client_access,
                )
        except Refused as refusal:
            refused = str(refusal)
        else:
            return redirect("money-yours:change", reference=commission.reference, number=number)
    context = {
        "commission": commission,
        "note": note,
        "button": button,
        "digest": digest_of(note=note, approval=approval),
        "refused": refused,
    }
    return render(request, "money/your_change.html", context, status=409 if refused else 200)


@staff("owner")
@require_http_methods(["GET", "POST"])
def cancellation(request, reference: str):
    """What is kept, why, and what is paid back, if the commission ends as things stand."""
    commission = commission_or_404(reference)
    form = forms.Refund(request.POST if "refund" in request.POST else None, currency=commission.currency)
    missing = []
    if request.method == "POST":
        try:
            if "settle" in request.POST:
                actions.settle_cancellation(commission=commission, person=request.user)
                messages.success(request, "The statement is entered in the ledger.")
                return redirect("money:cancellation", reference=reference)
            if form.is_valid():
                actions.pay_refund(
                    commission=commission,
                    minor=form.minor(),
                    reference=form.cleaned_data["reference"],
                    person=request.user,
                )
                messages.success(request, "The refund is entered.")
                return redirect("money:cancellation", reference=reference)
        except Refused as refusal:
            missing = refusal.missing
    context = {
        "commission": commission,
        "statement": statement(commission=commission),
        "settled": commission.entries.filter(kind="cancellation").first(),
        "refund_due": queries.refund_due(commission=commission),
        "withdrawn": commission.state == State.WITHDRAWN,
        "form": form,
        "missing": missing,
    }
    return render(request, "money/cancellation.html", context, status=409 if missing else 200)


@staff("owner")
@require_GET
def export_csv(request):
    """The whole ledger as CSV."""
    answer = StreamingHttpResponse(exports.csv_rows(), content_type="text/csv; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="ledger.csv"'
    return answer


@staff("owner")
@require_GET
def export_beancount(request):
    """The whole ledger as plain-text double entry."""
    answer = StreamingHttpResponse(exports.beancount_rows(), content_type="text/plain; charset=utf-8")
    answer["Content-Disposition"] = 'attachment; filename="ledger.beancount"'
    return answer
