"""The calendar feed, and its key."""

from __future__ import annotations

from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods

from commissions.delivery import actions, calendar, queries
from studio.people.access import staff


@staff("owner")
@require_http_methods(["GET", "POST"])
def key(request):
    """Make or end the address of the feed; it is shown once."""
    address = ""
    if request.method == "POST":
        if "end" in request.POST:
            actions.end_calendar(person=request.user)
        else:
            made = actions.make_calendar_key(person=request.user)
            address = request.build_absolute_uri(reverse("calendar:feed", args=[made]))
    page = {"address": address, "standing": queries.calendar_key()}
    response = render(request, "delivery/calendar.html", page)
    response["Cache-Control"] = "no-store"
    return response


@require_GET
def feed(request, key: str):
    """The dates, for whoever holds the key."""
    if not queries.calendar_key_is_good(key=key):
        raise Http404
    return HttpResponse(
        calendar.feed(),
        content_type="text/calendar; charset=utf-8",
        headers={
            "Content-Disposition": 'inline; filename="studio.ics"',
            "Cache-Control": "private, no-store",
            "X-Content-Type-Options": "nosniff",
            "X-Robots-Tag": "noindex",
        },
    )
