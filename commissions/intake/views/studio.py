"""The studio reads briefs, and answers them."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_http_methods

from commissions.intake import actions, queries
from commissions.intake.errors import BriefClosed
from commissions.intake.forms.studio import Decline
from commissions.intake.models import State
from studio.people.access import staff
from studio.pictures import serving

PAGE = 50


def _found(reference: str):
    brief = queries.brief_by_reference(reference=reference)
    if brief is None:
        raise Http404
    return brief


@staff("owner", "jeweller")
@require_GET
def briefs(request):
    """Briefs that wait for us, and those that were answered."""
    before = request.GET.get("before", "")
    closed = list(
        queries.with_picture_counts(
            queries.closed_briefs(before=int(before) if before.isdigit() else None, size=PAGE)
        )
    )
    return render(
        request,
        "intake/studio_briefs.html",
        {
            "waiting": queries.with_picture_counts(queries.waiting_briefs())[:200],
            "closed": closed,
            "older": closed[-1].pk if len(closed) == PAGE else None,
        },
    )


@staff("owner", "jeweller")
@require_GET
def brief(request, reference: str):
    """One brief, read well."""
    brief = _found(reference)
    return render(
        request,
        "intake/studio_brief.html",
        {
            "brief": brief,
            "groups": queries.said(brief=brief),
            "waits": brief.state == State.SENT,
            "intact": queries.stands_as_sent(brief=brief),
        },
    )


@staff("owner")
@require_http_methods(["GET", "POST"])
def decline(request, reference: str):
    """Say no, in a letter."""
    brief, form = _found(reference), Decline(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        try:
            actions.decline(brief=brief, words=form.cleaned_data["words"], by=request.user)
        except BriefClosed:
            messages.error(request, "This brief has been answered in the meantime.")
        else:
            messages.success(request, f"The letter to {brief.full_name} is written.")
        return redirect("intake:studio-brief", reference=reference)
    return render(request, "intake/decline.html", {"brief": brief, "form": form})


@staff("owner", "jeweller")
@require_GET
def picture(request, reference: str, pk: int, size: int):
    """A picture that came with a brief."""
    row = queries.picture_of(brief=_found(reference), pk=pk)
    if row is None:
        raise Http404
    return serving.answer(request, row.picture, size)
