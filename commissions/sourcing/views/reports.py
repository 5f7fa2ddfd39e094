"""The page on which the owner decides to work to a report."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from commissions.record.errors import Refused
from commissions.sourcing import actions, forms, queries
from commissions.sourcing.models import Stone
from studio.people.access import staff


@staff("owner")
@require_http_methods(["GET", "POST"])
def to_report(request, pk: int):
    """Say what it means, ask for the reason."""
    stone = get_object_or_404(Stone.objects.select_related("commission"), pk=pk)
    if stone.commission is None:
        raise Http404
    form = forms.WorkToReport(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.work_to_report(stone=stone, person=request.user, **form.cleaned_data)
        except Refused as refusal:
            for row in refusal.missing:
                form.add_error(None, row.words)
        else:
            return redirect("pages:piece", reference=stone.commission.reference)
    page = {"stone": stone, "form": form, "standing": queries.working_to_report(stone=stone)}
    return render(request, "sourcing/to_report.html", page)
