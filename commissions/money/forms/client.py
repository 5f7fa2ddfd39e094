"""What a client writes about the price."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from studio.forms import PlainForm


class Ask(PlainForm):
    """A question or a *not yet*, in the client's words."""

    words = forms.CharField(
        label=_("Your words"),
        max_length=5000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Ask anything about the price, the stones or the dates, or tell us what holds you back."),
    )
