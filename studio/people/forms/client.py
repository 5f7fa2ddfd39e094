"""What a client types to come in."""

from __future__ import annotations

import zoneinfo

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.forms import PlainForm


class AskCode(PlainForm):
    """The address to which a code is to be sent."""

    email = forms.EmailField(
        label=_("Your e-mail address"),
        max_length=254,
        help_text=_("The one you gave us with your brief. We send a code to it; there is no password."),
        error_messages={
            "required": _("Write your e-mail address."),
            "invalid": _("Write the address like name@example.com."),
        },
        widget=forms.EmailInput(
            attrs={"autocomplete": "email", "spellcheck": "false", "autocapitalize": "off"}
        ),
    )


class ShortCode(PlainForm):
    """The short code, typed or pasted with or without its space."""

    code = forms.CharField(
        label=_("The code from our letter"),
        max_length=40,
        help_text=_("Eight figures. Spaces do not matter."),
        error_messages={"required": _("Write the eight figures from our letter.")},
        widget=forms.TextInput(
            attrs={
                "autocomplete": "one-time-code",
                "inputmode": "numeric",
                "class": "code",
                "spellcheck": "false",
            }
        ),
    )
    zone = forms.CharField(required=False, max_length=48, widget=forms.HiddenInput(attrs={"data-zone": ""}))

    def clean_zone(self) -> str:
        """The browser's zone where it is one we know; nothing otherwise."""
        return known_zone(self.cleaned_data["zone"])


class Come(PlainForm):
    """The button on the page that a letter's link opens."""

    zone = forms.CharField(required=False, max_length=48, widget=forms.HiddenInput(attrs={"data-zone": ""}))

    def clean_zone(self) -> str:
        """The browser's zone where it is one we know; nothing otherwise."""
        return known_zone(self.cleaned_data["zone"])


class NewPassphrase(PlainForm):
    """The passphrase chosen at the first visit."""

    phrase = forms.CharField(
        label=_("Your passphrase"),
        strip=False,
        max_length=200,
        help_text=_("At least 12 characters. Four or five words you like are easier to keep than signs."),
        error_messages={"required": _("Write a passphrase.")},
        widget=forms.PasswordInput(attrs={"autocomplete": "new-password"}),
    )


class Passphrase(PlainForm):
    """The passphrase, asked again before something binding."""

    phrase = forms.CharField(
        label=_("Your passphrase"),
        strip=False,
        max_length=200,
        error_messages={"required": _("Write your passphrase.")},
        widget=forms.PasswordInput(attrs={"autocomplete": "current-password"}),
    )


def known_zone(name: str) -> str:
    """*name* if it is a time zone, otherwise nothing."""
    return name if name in zoneinfo.available_timezones() else ""
