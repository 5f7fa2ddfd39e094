"""What is said about a design."""

from __future__ import annotations

from django import forms

from studio.forms import PlainForm


class ClientAnswer(PlainForm):
    """What a client says of a design."""

    words = forms.CharField(
        label="Your words",
        max_length=5000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Needed when you ask for something or are not sure yet.",
    )


class Reason(PlainForm):
    """Why a new revision is started."""

    reason = forms.CharField(label="Why a new revision", max_length=200)
