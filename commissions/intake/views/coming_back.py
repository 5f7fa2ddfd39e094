"""Keeping a brief for later, and taking it up on another device."""

from __future__ import annotations

from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _lazy
from django.views.decorators.http import require_http_methods

from commissions.intake import actions
from commissions.intake.forms.keeping import Back, Keep
from commissions.intake.views.common import KEY, place, unhurried, with_draft
from studio.people import throttle
from studio.people.actions import codes
from studio.people.forms import client as forms
from studio.people.views.client import browser_secret, too_many_codes

DOOR = "brief"
TOO_MANY = _lazy("Too many letters were asked for. Wait a quarter of an hour, then try again.")


@require_http_methods(["GET", "POST"])
@unhurried
@with_draft
def keep(request, brief):
    """Keep the draft under an address."""
    form = Keep(request.POST if request.method == "POST" else None, initial={"email": brief.email})
    if request.method == "POST" and form.is_valid():
        email = form.cleaned_data["email"]
        if too_many_codes(request, email=email):
            form.add_error("email", TOO_MANY)
        else:
            actions.keep_for(brief=brief, email=email)
            return render(request, "intake/kept.html", {"email": email, "draft": brief})
    return render(request, "intake/keep.html", {"form": form, "draft": brief})


@require_http_methods(["GET", "POST"])
@unhurried
def back(request):
    """Ask for a code to a kept draft; the answer is the same for every address."""
    form = Back(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        email = form.cleaned_data["email"]
        if too_many_codes(request, email=email):
            form.add_error("email", TOO_MANY)
        else:
            codes.ask_code(door=DOOR, email=email, browser=browser_secret(request))
            return redirect("intake:back-code")
    return render(request, "intake/back.html", {"form": form})


@require_http_methods(["GET", "POST"])
@unhurried
def code(request):
    """Type the short code of the letter."""
    form = forms.ShortCode(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        used = codes.redeem_short(door=DOOR, browser=browser_secret(request), typed=form.cleaned_data["code"])
        if used and _take_up(request, used.email):
            return redirect("intake:brief")
        form.add_error(
            "code", _("That code does not fit, or its time is over. Ask for a new one if it keeps failing.")
        )
    return render(request, "intake/back_code.html", {"form": form})


@require_http_methods(["GET", "POST"])
def link(request, token: str):
    """The link of the letter: looking changes nothing, the button takes the draft up on this device."""
    if request.method == "POST" and not throttle.too_many(what="code-link", who=place(request), limit=60):
        used = codes.redeem_token(door=DOOR, token=token)
        if used and _take_up(request, used.email):
            return redirect("intake:brief")
    return render(
        request,
        "intake/link.html",
        {"sending": False, "spent": request.method == "POST"},
        status=410 if request.method == "POST" else 200,
    )


def _take_up(request, email: str) -> bool:
    taken = actions.resume(email=email)
    if taken is None:
        return False
    request.session.cycle_key()
    _brief, request.session[KEY] = taken
    return True
