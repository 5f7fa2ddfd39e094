"""Forms of supplier jobs."""

from __future__ import annotations

from django import forms

from commissions.bench.forms.fields import CaratField, GramsField
from commissions.bench.models import SupplierTask
from studio.fields import DATE_FORMATS
from studio.forms import PlainForm


class SendForm(PlainForm):
    """What goes to whom, and when it is due back."""

    task = forms.ChoiceField(label="Work", choices=[row for row in SupplierTask.choices if row[0]])
    supplier = forms.CharField(label="Supplier", max_length=80)
    words = forms.CharField(
        label="What is to be done",
        max_length=400,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="It stands on the slip and on the supplier's link: no client's name, no price.",
    )
    due_on = forms.DateField(label="Due back", widget=forms.DateInput(attrs={"type": "date"}))
    sent_mg = GramsField(label="Metal or mount sent, g", required=False)
    sent_stones = forms.IntegerField(label="Stones sent", min_value=0, max_value=999, required=False)
    sent_mct = CaratField(label="Weight of the stones, ct", required=False)

    def clean_sent_stones(self):
        return self.cleaned_data["sent_stones"] or 0


class LaterForm(PlainForm):
    """Another day on which the work is owed."""

    due_on = forms.DateField(
        label="Due back", input_formats=DATE_FORMATS, widget=forms.DateInput(attrs={"type": "date"})
    )
    reason = forms.CharField(label="Why", max_length=200, help_text="As the supplier told you.")


class BackForm(PlainForm):
    """What came back."""

    returned_mg = GramsField(label="Metal or mount back, g", required=False)
    returned_stones = forms.IntegerField(
        label="Stones back, set ones included", min_value=0, max_value=999, required=False
    )
    returned_mct = CaratField(label="Weight of loose stones back, ct", required=False)
    shortfall = forms.CharField(
        label="What is missing, and why",
        max_length=200,
        required=False,
        help_text="Sprue kept, a stone broken or lost. Needed where the figures differ.",
    )

    def clean_returned_stones(self):
        return self.cleaned_data["returned_stones"] or 0
