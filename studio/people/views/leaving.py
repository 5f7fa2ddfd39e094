"""Where somebody is signed in, what they hold, and how their access ends."""

from __future__ import annotations

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio.people import queries
from studio.people.access import staff
from studio.people.actions import sessions as session_actions
from studio.people.actions import staff as actions
from studio.people.leaving import holdings_of
from studio.people.models import Person


@staff()
@require_http_methods(["GET", "POST"])
def sessions(request):
    """Where I am signed in; end one, or all others."""
    here = request.session.session_key
    if request.method == "POST":
        if "others" in request.POST:
            ended = session_actions.end_sessions(person=request.user, keep=here)
            messages.success(request, f"{ended} other session{'' if ended == 1 else 's'} ended.")
        elif request.POST.get("session", "").isdigit():
            session_actions.end_session(person=request.user, pk=int(request.POST["session"]), by=request.user)
        return redirect("people:sessions")
    rows = queries.sessions_of(person=request.user)
    return render(request, "people/sessions.html", {"rows": rows, "here": here})


@staff("owner")
@require_GET
def person(request, pk: int):
    """One person: where they are signed in, what they hold, and what is left to do before they leave."""
    someone = get_object_or_404(Person, pk=pk)
    context = {
        "person": someone,
        "sessions": queries.sessions_of(person=someone),
        "holdings": holdings_of(person=someone),
        "others": queries.may_take_over(person=someone),
        "taken": someone.given_up.select_related("to"),
        "is_me": someone == request.user,
    }
    return render(request, "people/person.html", context)


@staff("owner")
@require_POST
def end_session(request, pk: int, session: int):
    """End one of a person's sessions."""
    someone = get_object_or_404(Person, pk=pk)
    if session_actions.end_session(person=someone, pk=session, by=request.user):
        messages.success(request, "That session has ended.")
    return redirect("people:person", pk=pk)


@staff("owner")
@require_POST
def take_over(request, pk: int):
    """Note who has taken over one thing."""
    someone = get_object_or_404(Person, pk=pk)
    to = request.POST.get("to", "")
    if not to.isdigit():
        messages.error(request, "Say who has it now.")
        return redirect("people:person", pk=pk)
    try:
        actions.take_over(
            person=someone,
            key=request.POST.get("key", ""),
            to=get_object_or_404(Person, pk=to),
            by=request.user,
        )
    except actions.StillNeeded:
        messages.error(request, "Only somebody who is here can take it over.")
    except LookupError:
        messages.error(request, "What they hold has changed in the meantime. Look again.")
    return redirect("people:person", pk=pk)


@staff("owner")
@require_POST
def let_go(request, pk: int):
    """End a person's access."""
    someone = get_object_or_404(Person, pk=pk)
    try:
        also = actions.let_go(person=someone, by=request.user)
    except actions.StillNeeded:
        messages.error(request, "The studio needs an owner: give the role to somebody else first.")
    except actions.StillHolds:
        messages.error(request, f"{someone} still holds something of the studio. It stands below.")
        return redirect("people:person", pk=pk)
    else:
        more = f" Ended too: {', '.join(also)}." if also else ""
        messages.success(
            request, f"{someone} can no longer come in. Their sessions and second factor have ended.{more}"
        )
    return redirect("people:people")
