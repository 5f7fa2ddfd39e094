"""Check the answers, prove the address, send, and the page that says what happens next."""

from __future__ import annotations

from django.http import Http404
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from commissions.intake import actions, queries
from commissions.intake.errors import BriefClosed, NotYet
from commissions.intake.views.common import KEY, place, unhurried, with_draft
from studio.people import throttle
from studio.people.access import SESSION_KEY
from studio.people.actions import codes
from studio.people.forms import client as forms
from studio.people.queries import session_of
from studio.people.views.client import browser_secret, too_many_codes

DOOR = "send"


def _check_page(request, brief, *, wrong: str = "", status: int = 200):
    return render(
        request,
        "intake/check.html",
        {
            "draft": brief,
            "groups": queries.said(brief=brief),
            "missing": queries.missing(brief=brief),
            "wrong": wrong,
            "pictures": brief.pictures.select_related("picture"),
        },
        status=status,
    )


@require_GET
@with_draft
def check(request, brief):
    """Every answer with a way to change it."""
    return _check_page(request, brief)


@require_POST
@unhurried
@with_draft
def send(request, brief):
    """Send the brief; where its address is not proven yet, a code is asked for first."""
    if brief.email_proven_at is None and not queries.missing(brief=brief):
        if too_many_codes(request, email=brief.email):
            return _check_page(
                request,
                brief,
                wrong=_("Too many codes were asked for. Wait a quarter of an hour."),
                status=429,
            )
        codes.ask_code(door=DOOR, email=brief.email, browser=browser_secret(request))
        return redirect("intake:prove")
    return _send(request, brief)


def _send(request, brief):
    try:
        sent = actions.send(brief=brief)
    except NotYet as error:
        return _check_page(request, brief, wrong=error.words, status=409)
    return redirect("intake:sent", reference=sent.reference)


@require_http_methods(["GET", "POST"])
@unhurried
@with_draft
def prove(request, brief):
    """Type the code that was sent to the address; the right one sends the brief."""
    form = forms.ShortCode(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        used = codes.redeem_short(door=DOOR, browser=browser_secret(request), typed=form.cleaned_data["code"])
        if used and used.email == brief.email:
            actions.prove_address(brief=brief, email=used.email)
            return _send(request, brief)
        form.add_error(
            "code", _("That code does not fit, or its time is over. Ask for a new one if it keeps failing.")
        )
    return render(request, "intake/prove.html", {"form": form, "draft": brief})


@require_http_methods(["GET", "POST"])
def link(request, token: str):
    """The link of the same letter, on any device: looking changes nothing, the button sends the brief."""
    if request.method == "POST" and not throttle.too_many(what="code-link", who=place(request), limit=60):
        used = codes.redeem_token(door=DOOR, token=token)
        taken = actions.resume(email=used.email) if used else None
        if taken:
            brief, request.session[KEY] = taken
            try:
                return _send(request, brief)
            except BriefClosed:
                return redirect("intake:brief")
    return render(
        request,
        "intake/link.html",
        {"sending": True, "spent": request.method == "POST"},
        status=410 if request.method == "POST" else 200,
    )


@require_GET
def sent(request, reference: str):
    """The confirmation; it can be opened again on the device that sent, or by the signed-in client."""
    brief = queries.sent_with(token=request.session.get(KEY, ""))
    if brief is None or brief.reference != reference:
        session = session_of(key=request.session.get(SESSION_KEY, ""))
        brief = queries.brief_by_reference(reference=reference) if session else None
        if brief is None or brief.email != session.access.email:
            raise Http404
    return render(
        request,
        "intake/sent.html",
        {"brief": brief, "groups": queries.said(brief=brief), "client_discreet": brief.discreet},
    )
