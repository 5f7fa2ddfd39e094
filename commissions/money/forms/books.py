"""How the books are kept: closing a month, and when sales are booked."""

from __future__ import annotations

import datetime

from django import forms

from commissions.money.models import SaleRule, TaxPoint
from studio.forms import PlainForm


class Close(PlainForm):
    """Which month is closed."""

    month = forms.ChoiceField(label="Month")
    sure = forms.BooleanField(label="I know that it cannot be opened again.")

    def __init__(self, *args, months: list[datetime.date], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["month"].choices = [(f"{on:%Y-%m}", f"{on:%B %Y}") for on in months]
        self.fields["sure"].error_messages["required"] = "Say that you know it: a closed month stays closed."

    def year_and_month(self) -> dict[str, int]:
        """What the action takes."""
        year, month = self.cleaned_data["month"].split("-")
        return {"year": int(year), "month": int(month)}


class Rule(PlainForm):
    """When sales and the tax on them are booked."""

    sale = forms.ChoiceField(
        label="What clients paid becomes a sale", choices=SaleRule.choices, widget=forms.RadioSelect
    )
    tax = forms.ChoiceField(label="The tax becomes due", choices=TaxPoint.choices, widget=forms.RadioSelect)
    why = forms.CharField(
        label="Who advised it, or where it stands",
        max_length=300,
        help_text="Your accountant and the day, or the rule of your tax office.",
    )
