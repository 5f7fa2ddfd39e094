"""What is typed about withdrawing."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.fields import DATE_FORMATS, Words
from studio.forms import PlainForm


class Right(PlainForm):
    """Whether a client may withdraw, and until when."""

    applies_until = forms.DateField(
        label="May withdraw until",
        required=False,
        input_formats=DATE_FORMATS,
        help_text="Empty where there is no such right, as for a ring made to specification.",
    )
    reason = Words(
        label="Why",
        max_length=200,
        help_text="For example: a design alone; a band from stock; made to specification",
    )


class Declaration(PlainForm):
    """Who withdraws; the second press confirms."""

    name = Words(
        label=_("Your name"),
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
        error_messages={"required": _("Write your name.")},
    )
    sure = forms.BooleanField(required=False, widget=forms.HiddenInput)
