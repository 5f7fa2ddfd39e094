"""Bank statements, and the tray of receipts that nobody could match yet."""

from __future__ import annotations

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_http_methods, require_POST

from commissions.money import actions, forms, queries
from commissions.money.models import BankLine, LineState
from commissions.money.statements import Unreadable, read_camt, read_csv
from commissions.record.errors import Refused
from commissions.record.queries import by_reference
from studio.people.access import staff


@staff("owner")
@require_http_methods(["GET", "POST"])
def statements(request):
    """Read a statement; what names a piece is its receipt, the rest waits in the tray."""
    form = forms.Statement(request.POST or None, request.FILES or None, currencies=queries.currencies())
    result = None
    if request.method == "POST" and form.is_valid():
        file = form.cleaned_data["file"]
        content = file.read()
        try:
            if content.lstrip(b"\xef\xbb\xbf \r\n\t").startswith(b"<"):
                rows = read_camt(content=content)
            else:
                rows = read_csv(
                    content=content, mapping=form.mapping(), currency=form.cleaned_data["currency"]
                )
        except Unreadable as error:
            form.add_error("file", str(error))
        else:
            result = actions.import_rows(rows=rows, person=request.user)
    asked = queries.asked_lines()
    tray = BankLine.objects.filter(state=LineState.UNMATCHED).order_by("on", "id")[:200]
    context = {"form": form, "result": result, "tray": tray, "asked": asked}
    return render(request, "money/statements.html", context, status=422 if form.errors else 200)


@staff("owner")
@require_POST
def same(request, pk: int):
    """Is it the same payment? Yes and no are both final."""
    line = get_object_or_404(BankLine, pk=pk)
    try:
        became = actions.answer_likeness(
            line=line, same=request.POST.get("answer") == "same", person=request.user
        )
    except Refused as refusal:
        messages.error(request, str(refusal))
    else:
        messages.success(
            request,
            {
                "same": "It is the same payment: nothing is booked again.",
                "matched": "It is another payment, and booked for the piece it names.",
                "unmatched": "It is another payment: say in the tray which piece it is for.",
            }[became],
        )
    return redirect("money:statements")


@staff("owner")
@require_http_methods(["GET", "POST"])
def match(request, pk: int):
    """Give a receipt from the tray to its piece."""
    line = get_object_or_404(BankLine, pk=pk)
    form = forms.Match(request.POST or None)
    if request.method == "POST" and form.is_valid():
        commission = by_reference(reference=form.cleaned_data["reference"])
        if commission is None:
            form.add_error("reference", "No piece has this reference.")
        elif commission.currency != line.currency and line.state == LineState.UNMATCHED:
            return redirect(f"{reverse('money:receipt-abroad', args=[commission.reference])}?line={line.pk}")
        else:
            try:
                actions.match_line(line=line, commission=commission, person=request.user)
            except Refused as refusal:
                form.add_error(None, str(refusal))
            else:
                messages.success(request, f"It is a receipt of {commission.reference} now.")
                return redirect("money:statements")
    return render(
        request, "money/match.html", {"line": line, "form": form}, status=422 if form.errors else 200
    )
