"""The client's way in: an address, a one-time code, and a passphrase before anything that binds."""

from __future__ import annotations

import secrets

from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from studio.people import queries, throttle
from studio.people.access import SESSION_KEY, client
from studio.people.actions import client as actions
from studio.people.actions import codes
from studio.people.forms import client as forms

DOOR = "client"
HOME = "/yours/"


def browser_secret(request) -> str:
    """The secret that binds a short code to this browser's session; made when it is first needed."""
    if "browser" not in request.session:
        request.session["browser"] = secrets.token_urlsafe(24)
    return request.session["browser"]


def too_many_codes(request, *, email: str) -> bool:
    """Whether this address or this place has asked for more codes than anybody needs."""
    return throttle.too_many(what="code", who=email.strip().lower(), limit=6) or throttle.too_many(
        what="code-place", who=request.META.get("REMOTE_ADDR", ""), limit=30
    )


def own_address(request, address: str, *, otherwise: str = HOME) -> str:
    """*address* if it lies in this house, *otherwise* if not."""
    if address and url_has_allowed_host_and_scheme(
        address, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    ):
        return address
    return otherwise


@require_http_methods(["GET", "POST"])
def sign_in(request):
    """Ask for a code; the answer is the same for every address."""
    form = forms.AskCode(request.POST if request.method == "POST" else None)
    if "next" in request.GET:
        request.session["client_next"] = own_address(request, request.GET["next"])
    if request.method == "POST" and form.is_valid():
        email = form.cleaned_data["email"]
        if too_many_codes(request, email=email):
            form.add_error(
                "email", _("Too many codes were asked for. Wait a quarter of an hour, then try again.")
            )
        else:
            codes.ask_code(door=DOOR, email=email, browser=browser_secret(request))
            request.session["code_email"] = email
            return redirect("people:client-code")
    return render(request, "people/client_sign_in.html", {"form": form})


@require_http_methods(["GET", "POST"])
def code(request):
    """Type the short code."""
    form = forms.ShortCode(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        used = codes.redeem_short(door=DOOR, browser=browser_secret(request), typed=form.cleaned_data["code"])
        if used:
            return _come_in(request, email=used.email, zone=form.cleaned_data["zone"])
        form.add_error(
            "code", _("That code does not fit, or its time is over. Ask for a new one if it keeps failing.")
        )
    return render(
        request, "people/client_code.html", {"form": form, "email": request.session.get("code_email", "")}
    )


@require_http_methods(["GET", "POST"])
def link(request, token: str):
    """Open a letter's link: looking changes nothing, the button on the page lets in."""
    form = forms.Come(request.POST if request.method == "POST" else None)
    if request.method == "POST" and form.is_valid():
        place = request.META.get("REMOTE_ADDR", "")
        used = None
        if not throttle.too_many(what="code-link", who=place, limit=60):
            used = codes.redeem_token(door=DOOR, token=token)
        if used:
            return _come_in(request, email=used.email, zone=form.cleaned_data["zone"])
        return render(request, "people/client_link.html", {"form": form, "spent": True}, status=410)
    return render(request, "people/client_link.html", {"form": form, "spent": False})


def _come_in(request, *, email: str, zone: str):
    access = queries.access_of(email=email)
    if access is None:  # removed between the letter and the code
        return redirect("people:client-sign-in")
    address = own_address(request, request.session.get("client_next", ""))
    request.session.flush()  # nothing that was in the browser before is trusted after
    request.session[SESSION_KEY] = actions.begin_session(
        access=access, agent=request.headers.get("User-Agent", ""), zone=zone
    )
    request.session["language"] = access.language
    request.session["zone"] = zone or access.zone
    if not access.passphrase:
        request.session["client_next"] = address
        return redirect("people:step-up")
    return redirect(address)


@require_POST
def sign_out(request):
    """End this device's session."""
    session = queries.session_of(key=request.session.get(SESSION_KEY, ""))
    if session:
        actions.end_session(access=session.access, pk=session.pk)
    request.session.flush()
    return redirect("people:away" if "away" in request.POST else "people:client-sign-in")


@require_GET
def away(request):
    """A page that says nothing about anything; what was open before cannot be brought back."""
    response = render(request, "people/away.html")
    response["Clear-Site-Data"] = '"cache"'
    return response


@client
@require_http_methods(["GET", "POST"])
def step_up(request):
    """Choose the passphrase at the first visit; give it again before something binding."""
    access, new = request.client_access, not request.client_access.passphrase
    address = own_address(
        request, request.POST.get("next") or request.GET.get("next") or request.session.get("client_next", "")
    )
    form = (forms.NewPassphrase if new else forms.Passphrase)(
        request.POST if request.method == "POST" else None
    )
    if request.method == "POST" and form.is_valid():
        phrase = form.cleaned_data["phrase"]
        if throttle.too_many(what="passphrase", who=str(access.pk), limit=8):
            form.add_error(
                "phrase", _("That was tried too often. Wait a quarter of an hour, then try again.")
            )
        elif new:
            try:
                chosen = actions.choose_passphrase(
                    access=access, session=request.client_session, phrase=phrase
                )
            except ValidationError as error:
                form.add_error("phrase", error)
            else:
                return redirect(address if chosen else "people:step-up")
        elif actions.step_up(access=access, session=request.client_session, phrase=phrase):
            throttle.forget(what="passphrase", who=str(access.pk))
            return redirect(address)
        else:
            form.add_error("phrase", _("This is not the passphrase you chose."))
    return render(request, "people/step_up.html", {"form": form, "new": new, "next": address})


@client
@require_http_methods(["GET", "POST"])
def devices(request):
    """Where this client is signed in; end one, or all others."""
    if request.method == "POST":
        if "others" in request.POST:
            actions.end_other_sessions(access=request.client_access, keep=request.client_session)
        elif request.POST.get("device", "").isdigit():
            actions.end_session(access=request.client_access, pk=int(request.POST["device"]))
        return redirect(reverse("people:client-devices"))
    rows = queries.devices_of(access=request.client_access)
    return render(request, "people/client_devices.html", {"devices": rows, "this": request.client_session})
