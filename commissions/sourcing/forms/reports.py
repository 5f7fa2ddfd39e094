"""Working to a report."""

from __future__ import annotations

from django import forms

from studio.fields import Words
from studio.forms import PlainForm


class WorkToReport(PlainForm):
    """Why the loose stone is not measured here."""

    reason = Words(
        label="Why it cannot be measured loose",
        max_length=300,
        help_text="For example: it stays in the client’s bank until the day of setting.",
        widget=forms.Textarea(attrs={"rows": 2}),
        error_messages={"required": "Say why the loose stone cannot be measured here."},
    )
