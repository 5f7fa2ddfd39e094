"""What is asked of the trail."""

from __future__ import annotations

from django import forms

from studio.fields import DATE_FORMATS
from studio.forms import PlainForm


class Ask(PlainForm):
    """By whom, what, about which piece, from day to day; everything may be left open."""

    who = forms.CharField(label="Who", required=False, max_length=80)
    verb = forms.ChoiceField(label="What", required=False)
    subject = forms.CharField(
        label="About", required=False, max_length=60, help_text="The reference of a piece, such as P4V-8GB"
    )
    first = forms.DateField(
        label="From", required=False, input_formats=DATE_FORMATS, help_text="Such as 27 3 2027"
    )
    last = forms.DateField(label="Until", required=False, input_formats=DATE_FORMATS)

    def __init__(self, *args, verbs: list[str], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["verb"].choices = [("", "Everything"), *((verb, verb) for verb in verbs)]

    def clean(self):
        data = super().clean()
        if data.get("first") and data.get("last") and data["last"] < data["first"]:
            self.add_error("last", "This day comes before the first.")
        return data
