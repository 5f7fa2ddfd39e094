"""Forms of date-change notices."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from studio import clock
from studio.fields import DATE_FORMATS
from studio.forms import PlainForm


class DateNoticeForm(PlainForm):
    """Another date, why, and by when we ask for an answer."""

    after = forms.DateField(
        label="New date", help_text="For example 24 9 2026 or 24 September 2026", input_formats=DATE_FORMATS
    )
    reason = forms.CharField(
        label="Why, as the client reads it",
        max_length=300,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="One plain sentence, without blame: a recast, a stone that was sent back, illness.",
    )
    answer_by = forms.DateField(label="Answer asked for by", input_formats=DATE_FORMATS)

    def clean_answer_by(self):
        day = self.cleaned_data["answer_by"]
        if day < clock.today():
            raise forms.ValidationError("This day has passed.")
        return day


class CancelForm(PlainForm):
    """A wish to cancel, with a word where the client wants to add one."""

    words = forms.CharField(
        label=_("Anything you want to tell us"),
        max_length=2000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
