"""What the studio types about a brief."""

from __future__ import annotations

from django import forms

from studio.fields import Words
from studio.forms import PlainForm


class Decline(PlainForm):
    """The kind words of a no."""

    words = Words(
        label="What you say",
        max_length=3000,
        widget=forms.Textarea(attrs={"rows": 9}),
        help_text="Goes out as a letter with your name. Say why, and where they might ask instead.",
        error_messages={"required": "Write a few words: a no without a reason hurts."},
    )
