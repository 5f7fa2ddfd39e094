"""Opening a commission from a brief."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.intake.errors import BriefClosed
from commissions.intake.models import State
from commissions.intake.queries import brief_by_reference
from commissions.record.forms import OpenCommission
from commissions.record.opening import open_from_brief, proposal
from studio.people.access import staff


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def open_commission(request, reference: str):
    """The commission as the brief proposes it, for somebody to confirm."""
    brief = brief_by_reference(reference=reference)
    if brief is None:
        raise Http404
    if brief.state != State.SENT:
        return redirect("intake:studio-brief", reference=reference)
    form = OpenCommission(request.POST if request.method == "POST" else None, initial=proposal(brief=brief))
    if request.method == "POST" and form.is_valid():
        try:
            commission = open_from_brief(brief=brief, person=request.user, **form.cleaned_data)
        except BriefClosed:
            messages.error(request, "This brief has been answered in the meantime.")
            return redirect("intake:studio-brief", reference=reference)
        messages.success(request, f"{commission.reference} is open. The first design is ours to send.")
        return redirect(f"/studio/commissions/{commission.reference}/")
    return render(request, "intake/open.html", {"brief": brief, "form": form})
