"""What a person may type about a letter."""

from __future__ import annotations

from django import forms

from studio.forms import PlainForm
from studio.outbox.models import State

CHOICES = [
    ("", "All letters"),
    ("failed", "To look at"),
    (State.WAITING, "Waiting"),
    (State.SENT, "Sent"),
    (State.WITHDRAWN, "Withdrawn"),
]


class Which(PlainForm):
    """Which letters, and from where in the list."""

    state = forms.ChoiceField(choices=CHOICES, required=False, label="Show")
    before = forms.IntegerField(required=False, widget=forms.HiddenInput)


class CameBack(PlainForm):
    """What the returned letter said."""

    reason = forms.CharField(
        max_length=300, label="What did the returned letter say?", widget=forms.Textarea(attrs={"rows": 2})
    )
