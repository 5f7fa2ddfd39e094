"""Opening a commission from a brief, and the client behind it."""

from __future__ import annotations

from contextlib import suppress

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from commissions.intake.errors import BriefClosed
from commissions.intake.forms import Contact
from commissions.intake.models import State
from commissions.intake.queries import brief_by_reference
from commissions.record.errors import Overtaken
from commissions.record.forms import OpenCommission
from commissions.record.opening import open_from_brief, proposal
from commissions.record.queries import by_reference
from commissions.record.telling import end_surprise
from studio.people.access import staff
from studio.people.actions.client import end_other_sessions, forget_passphrase
from studio.people.queries import devices_of


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


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def the_client(request, reference: str):
    """How the client may be reached, and their way in; the owner ends a surprise or clears a passphrase."""
    commission = by_reference(reference=reference)
    if commission is None:
        raise Http404
    if request.method == "POST":
        if not request.user.is_owner:
            raise PermissionDenied
        if "told" in request.POST:
            with suppress(Overtaken):
                end_surprise(commission=commission, person=request.user)
        elif "clear" in request.POST and request.POST.get("spoken") == "yes":
            forget_passphrase(access=commission.client.access, by=request.user)
            messages.success(request, "The passphrase is cleared, and the client’s devices are signed out.")
        elif "clear" in request.POST:
            messages.error(
                request, "Speak with the client first, by a way you know to be theirs, then tick the box."
            )
        elif "devices" in request.POST:
            end_other_sessions(access=commission.client.access)
        return redirect("record:client", reference=reference)
    brief = brief_by_reference(reference=reference)
    context = {
        "commission": commission,
        "contact": Contact.words(brief.answer("contact")) if brief else "",
        "brief": brief,
        "devices": devices_of(access=commission.client.access),
    }
    return render(request, "record/client.html", context)
