"""Pages of the studio's people: coming in, the second factor, who is here."""

from __future__ import annotations

import io

import segno
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.core.exceptions import ValidationError
from django.shortcuts import redirect, render
from django.utils.http import url_has_allowed_host_and_scheme
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_http_methods, require_POST
from django_otp import login as otp_login
from django_otp.plugins.otp_totp.models import TOTPDevice

from studio.people import queries, throttle
from studio.people.access import staff
from studio.people.actions import sessions
from studio.people.actions import staff as actions
from studio.people.forms import staff as forms

TOO_MANY = "That was tried too often. Wait a quarter of an hour, then try again."


def _next(request) -> str:
    address = request.POST.get("next") or request.GET.get("next") or ""
    if url_has_allowed_host_and_scheme(
        address, allowed_hosts={request.get_host()}, require_https=request.is_secure()
    ):
        return address
    return settings.LOGIN_REDIRECT_URL


@require_http_methods(["GET", "POST"])
def sign_in(request):
    """Come in by address and password."""
    form = forms.SignIn(request.POST or None)
    if request.method == "POST" and form.is_valid():
        email, place = form.cleaned_data["email"].lower(), request.META.get("REMOTE_ADDR", "")
        if throttle.too_many(what="sign-in", who=f"{email} {place}", limit=8) or throttle.too_many(
            what="sign-in-place", who=place, limit=60
        ):
            form.add_error(None, TOO_MANY)
        else:
            person = authenticate(request, username=email, password=form.cleaned_data["password"])
            if person is None:
                form.add_error(None, "The address and the password do not go together.")
            else:
                throttle.forget(what="sign-in", who=f"{email} {place}")
                login(request, person)
                if request.session.session_key is None:
                    # Signed in over somebody else, as on a phone that two share: Django has begun anew and has
                    # given the new session no key yet.
                    request.session.save()
                sessions.begin_session(
                    person=person,
                    key=request.session.session_key,
                    agent=request.headers.get("User-Agent", ""),
                )
                return redirect(_next(request))
    return render(request, "people/sign_in.html", {"form": form, "next": _next(request)})


@require_POST
def sign_out(request):
    """Go out."""
    logout(request)
    return redirect("people:sign-in")


@require_http_methods(["GET", "POST"])
def second_factor(request):
    """Show the second factor, or set one up at the first visit."""
    if not request.user.is_authenticated:
        return redirect("people:sign-in")
    device = TOTPDevice.objects.filter(user=request.user, confirmed=True).first()
    new = device is None
    if new:
        device = actions.begin_second_factor(person=request.user)
    form = forms.Code(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if throttle.too_many(what="second-factor", who=str(request.user.pk), limit=8):
            form.add_error("code", TOO_MANY)
        elif new:
            codes = actions.confirm_second_factor(
                person=request.user, device=device, typed=form.cleaned_data["code"]
            )
            if codes:
                otp_login(request, device)
                return render(request, "people/recovery_codes.html", {"codes": codes, "next": _next(request)})
            form.add_error(
                "code", "That code does not fit. Codes change every 30 seconds: try the present one."
            )
        elif device.verify_token(form.cleaned_data["code"].replace(" ", "")) or actions.use_recovery_code(
            person=request.user, typed=form.cleaned_data["code"]
        ):
            otp_login(request, device)
            throttle.forget(what="second-factor", who=str(request.user.pk))
            return redirect(_next(request))
        else:
            form.add_error(
                "code", "That code does not fit. Codes change every 30 seconds: try the present one."
            )
    context = {"form": form, "new": new, "next": _next(request)}
    if new:
        picture = io.BytesIO()
        segno.make(device.config_url).save(
            picture,
            kind="svg",
            xmldecl=False,
            svgns=True,
            scale=5,
            border=2,
            svgclass="qr",
            lineclass=None,
            omitsize=False,
            dark="#000",
            light="#fff",
        )
        # The drawing is made by us from our own address; nothing a person typed is in it.
        context["qr"] = mark_safe(picture.getvalue().decode())  # noqa: S308
        context["secret"] = _in_fours(_base32(device))
    return render(request, "people/second_factor.html", context)


def _base32(device: TOTPDevice) -> str:
    import base64

    return base64.b32encode(device.bin_key).decode().rstrip("=")


def _in_fours(text: str) -> str:
    return " ".join(text[place : place + 4] for place in range(0, len(text), 4))


@staff("owner")
@require_http_methods(["GET", "POST"])
def people(request):
    """Who is here; the owner adds people."""
    form = forms.NewPerson(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            person = actions.add_person(by=request.user, **form.cleaned_data)
        except ValidationError as error:
            form.add_error("password", error)
        else:
            messages.success(request, f"{person} can come in now.")
            return redirect("people:people")
    return render(request, "people/people.html", {"people": queries.staff_here(), "form": form})


@staff()
@require_http_methods(["GET", "POST"])
def password(request):
    """Change one's own password."""
    form = forms.NewPassword(request.POST or None)
    if request.method == "POST" and form.is_valid():
        if not request.user.check_password(form.cleaned_data["present"]):
            form.add_error("present", "This is not your present password.")
        else:
            try:
                actions.change_password(person=request.user, password=form.cleaned_data["password"])
            except ValidationError as error:
                form.add_error("password", error)
            else:
                update_session_auth_hash(request, request.user)
                messages.success(request, "Your password is changed; other devices are signed out.")
                return redirect("people:password")
    return render(request, "people/password.html", {"form": form})
