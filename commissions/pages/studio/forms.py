"""What the studio types on the pages that join rooms."""

from __future__ import annotations

from django import forms

from studio import clock
from studio.fields import DATE_FORMATS
from studio.forms import PlainForm


class Reply(PlainForm):
    """A message to the client."""

    body = forms.CharField(label="Your answer", max_length=5000, widget=forms.Textarea(attrs={"rows": 6}))


class PlaceHold(PlainForm):
    """Why a commission pauses, in our words and in the client's."""

    reason = forms.CharField(label="Why it is on hold", max_length=200)
    client_reason = forms.CharField(
        label="What the client reads",
        max_length=200,
        required=False,
        help_text="Left empty, the client reads that the work pauses and that we will say why.",
    )


class Promise(PlainForm):
    """A promised date and why."""

    on = forms.DateField(
        label="Promised date",
        help_text="For example 24 9 2026 or 24 September 2026",
        input_formats=DATE_FORMATS,
    )
    reason = forms.CharField(label="Why this date", max_length=200)

    def clean_on(self):
        date = self.cleaned_data["on"]
        if date < clock.today():
            raise forms.ValidationError("This date has passed.")
        return date


class Withdraw(PlainForm):
    """Why a commission ends unmade."""

    reason = forms.CharField(label="Why it ends", max_length=200)
