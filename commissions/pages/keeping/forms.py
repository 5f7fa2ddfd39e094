"""What the studio writes about a wish to be forgotten."""

from __future__ import annotations

from django import forms

from studio.fields import Words
from studio.forms import PlainForm


class NotYet(PlainForm):
    """Why it cannot be done yet, as the client reads it."""

    reason = Words(
        label="Why not yet, as the client reads it",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={"required": "Write why, and when it can be done."},
    )
