"""What the brief's pages share: the draft of this browser, and the slowing of floods."""

from __future__ import annotations

from functools import wraps

from django.shortcuts import redirect, render
from django.utils.translation import get_language

from commissions.intake import actions, queries
from commissions.intake.errors import BriefClosed
from studio.people import throttle

KEY = "brief"
"""Name under which the browser's session holds the key of its draft."""

WRITES_PER_WINDOW = 120
DRAFTS_PER_WINDOW = 10


def present_draft(request):
    """The draft this browser is writing, or None; once it is a surprise, its pages have neutral titles."""
    draft = queries.draft_of(token=request.session.get(KEY, ""))
    request.neutral_title = draft is not None and draft.discreet
    return draft


def draft_or_new(request):
    """The draft this browser is writing; begun now where there is none."""
    brief = present_draft(request)
    if brief is None:
        brief, token = actions.begin(language=get_language() or "en-gb")
        request.session[KEY] = token
    return brief


def place(request) -> str:
    """Where a request comes from."""
    return request.META.get("REMOTE_ADDR", "")


def unhurried(view):
    """
    Slow down floods: more writes than a person makes in a quarter of an hour are answered 429.

    What was typed is not lost for a person who meets this: going back in the browser shows it.
    """

    @wraps(view)
    def inside(request, *args, **kwargs):
        if request.method == "POST":
            new = present_draft(request) is None
            if throttle.too_many(what="brief", who=place(request), limit=WRITES_PER_WINDOW) or (
                new and throttle.too_many(what="brief-new", who=place(request), limit=DRAFTS_PER_WINDOW)
            ):
                return render(request, "intake/slow_down.html", status=429)
        try:
            return view(request, *args, **kwargs)
        except BriefClosed:
            return redirect("intake:brief")

    return inside


def with_draft(view):
    """Give the view the browser's draft; without one, the beginning is shown."""

    @wraps(view)
    def inside(request, *args, **kwargs):
        brief = present_draft(request)
        if brief is None:
            return redirect("intake:brief")
        return view(request, *args, brief=brief, **kwargs)

    return inside
