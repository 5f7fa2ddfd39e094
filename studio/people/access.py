"""Who may open a page: decorators for the studio's pages and for the client's."""

from __future__ import annotations

from functools import wraps
from urllib.parse import quote

from django.conf import settings
from django.core.exceptions import PermissionDenied
from django.shortcuts import redirect
from django.urls import reverse

from studio import clock
from studio.people.actions import sessions
from studio.people.actions.client import keep_session
from studio.people.queries import session_of

SESSION_KEY = "client"
"""Name under which the browser session holds the client session's key."""


def staff(*roles: str):
    """
    Open a page to signed-in people of the studio; to those of *roles* alone where any are named.

    Where the second factor is required, a person who has not shown it is sent to do so.
    """

    def wrap(view):
        @wraps(view)
        def inside(request, *args, **kwargs):
            person = request.user
            if not person.is_authenticated or not person.is_active:
                return redirect(f"{reverse('people:sign-in')}?next={quote(request.get_full_path())}")
            if settings.SECOND_FACTOR_REQUIRED and not person.is_verified():
                return redirect(f"{reverse('people:second-factor')}?next={quote(request.get_full_path())}")
            if roles and person.role not in roles:
                raise PermissionDenied
            sessions.keep_session(
                person=person,
                key=request.session.session_key or "",
                agent=request.headers.get("User-Agent", ""),
            )
            return view(request, *args, **kwargs)

        return inside

    return wrap


def client(view):
    """
    Open a page to a signed-in client: ``request.client_access`` and ``request.client_session`` are set.

    Anyone else is sent to ask for a one-time code; the answer is the same whether the page exists or not.
    """

    @wraps(view)
    def inside(request, *args, **kwargs):
        session = session_of(key=request.session.get(SESSION_KEY, ""))
        if session is None:
            return redirect(f"{reverse('people:client-sign-in')}?next={quote(request.get_full_path())}")
        request.client_session = session
        request.client_access = session.access
        fresh = keep_session(session=session)
        if fresh:
            request.session[SESSION_KEY] = fresh
        return view(request, *args, **kwargs)

    return inside


def stepped_up(view):
    """
    Open an act that binds (approving, addresses, bank details) to a client who has just given their
    passphrase.

    To be written under :func:`client`.
    """

    @wraps(view)
    def inside(request, *args, **kwargs):
        until = request.client_session.stepped_up_until
        if until is None or until <= clock.now():
            return redirect(f"{reverse('people:step-up')}?next={quote(request.get_full_path())}")
        return view(request, *args, **kwargs)

    return inside
