"""The address under which a draft is kept, and asked for again."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.forms import PlainForm

_ERRORS = {"required": _("Write your e-mail address."), "invalid": _("Write it like name@example.com.")}


def _box() -> forms.EmailInput:
    return forms.EmailInput(attrs={"autocomplete": "email", "spellcheck": "false", "autocapitalize": "off"})


class Keep(PlainForm):
    """Where the letter about the kept draft goes."""

    email = forms.EmailField(
        label=_("Your e-mail address"),
        max_length=254,
        error_messages=_ERRORS,
        widget=_box(),
        help_text=_("We write to it once, to say where you can go on."),
    )


class Back(PlainForm):
    """The address under which a draft was kept."""

    email = forms.EmailField(
        label=_("Your e-mail address"),
        max_length=254,
        error_messages=_ERRORS,
        widget=_box(),
        help_text=_("The one you gave while you were writing."),
    )
