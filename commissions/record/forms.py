"""What the studio types when it opens a commission."""

from __future__ import annotations

from django import forms

from commissions.intake.places import currency_choices
from studio.fields import DateBoxes, Words
from studio.forms import PlainForm


class OpenCommission(PlainForm):
    """A commission out of a brief, proposed from the answers."""

    title = Words(
        label="What it is",
        max_length=120,
        help_text="A short name that everybody in the studio understands; the client reads it too.",
        error_messages={"required": "Give it a short name."},
    )
    currency = forms.ChoiceField(
        label="Currency of the price", error_messages={"required": "Choose the currency."}
    )
    needed_by = DateBoxes(
        label="Needed by",
        required=False,
        help_text="As the client wrote it. Leave it empty for no fixed day.",
    )
    discreet = forms.BooleanField(
        label="Surprise: letters in neutral words, nobody telephones", required=False
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = currency_choices()
