"""What is kept about a client: the client's own page, and the studio's schedule and wishes."""

from __future__ import annotations

from django.contrib import messages
from django.http import FileResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from commissions.pages.keeping import actions, schedule, taking_along
from commissions.pages.keeping.forms import NotYet
from commissions.record.errors import Refused
from studio.keeping.models import Erasure, Outcome
from studio.people.access import client, staff, stepped_up


@client
@require_GET
def kept(request):
    """What we keep about you: what there is, how to take it along, how to ask for its end."""
    context = {
        "rows": taking_along.counts(access=request.client_access),
        "wish": Erasure.objects.filter(access=request.client_access).order_by("-id").first(),
    }
    return render(request, "keeping/yours.html", context)


@client
@stepped_up
@require_GET
def take_along(request):
    """Everything in one file."""
    file = taking_along.packed(access=request.client_access)
    return FileResponse(
        file,
        as_attachment=True,
        filename="your-data.zip",  # a name that tells nobody anything, surprise or not
        content_type="application/zip",
        headers={"Cache-Control": "no-store"},
    )


@client
@stepped_up
@require_http_methods(["GET", "POST"])
def forget(request):
    """Ask to be forgotten: what goes, what stays, and the press."""
    if request.method == "POST":
        actions.ask(access=request.client_access)
        return redirect("keeping-yours:kept")
    context = {
        "until": actions.accounts_until(access=request.client_access),
        "hindered": bool(actions.hindrances(access=request.client_access)),
    }
    return render(request, "keeping/forget.html", context)


@staff("owner")
@require_GET
def keeping(request):
    """How long everything is kept, and who asked to be forgotten."""
    wishes = Erasure.objects.select_related("access__client").order_by("-id")
    context = {
        "rules": schedule.rules(),
        "waiting": wishes.filter(outcome=Outcome.ASKED),
        "answered": wishes.exclude(outcome=Outcome.ASKED)[:50],
    }
    return render(request, "keeping/keeping.html", context)


@staff("owner")
@require_http_methods(["GET", "POST"])
def wish(request, pk: int):
    """One wish: what will go, what has to stay, and the two answers."""
    row = get_object_or_404(Erasure.objects.select_related("access__client"), pk=pk)
    form = NotYet(request.POST if request.method == "POST" and "not-yet" in request.POST else None)
    try:
        if request.method == "POST" and "erase" in request.POST:
            actions.erase(wish=row, by=request.user)
            messages.success(request, "Erased. What stayed stands below.")
            return redirect("keeping:wish", pk=pk)
        if form.is_bound and form.is_valid():
            actions.decline(wish=row, reason=form.cleaned_data["reason"], by=request.user)
            messages.success(request, "Answered: they read it on their page.")
            return redirect("keeping:wish", pk=pk)
    except Refused as refusal:
        messages.error(request, str(refusal))
        return redirect("keeping:wish", pk=pk)
    waits = row.outcome == Outcome.ASKED
    context = {
        "wish": row,
        "waits": waits,
        "missing": actions.hindrances(access=row.access) if waits else [],
        "rows": taking_along.counts(access=row.access) if waits else [],
        "until": actions.accounts_until(access=row.access) if waits else row.accounts_until,
        "form": form,
    }
    return render(request, "keeping/wish.html", context)
