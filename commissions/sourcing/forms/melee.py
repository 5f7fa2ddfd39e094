"""What is typed about lots of small stones."""

from __future__ import annotations

from django import forms

from commissions.design.forms import Millimetres
from commissions.record.queries import by_reference
from commissions.sourcing.forms.stones import Carats, hundredths, species_choices, sum_typed
from commissions.sourcing.models import LotKind, Origin, Screening
from studio.forms import PlainForm


class Count(forms.IntegerField):
    """A number of stones."""

    def __init__(self, **kwargs):
        super().__init__(widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}), **kwargs)


class LotForm(PlainForm):
    """A parcel as it comes in."""

    name = forms.CharField(label="Name of the lot", max_length=80, help_text="As written on its box.")
    species = forms.ChoiceField(label="Species", choices=species_choices, initial="diamond")
    origin = forms.ChoiceField(label="Declared origin", choices=Origin.choices)
    size = Millimetres(label="Diameter, mm")
    count = Count(label="Stones, counted", min_value=1, max_value=100000)
    weight = Carats(label="Weight of the lot, carat")
    supplier = forms.CharField(label="Supplier", max_length=80, required=False)
    cost = forms.CharField(
        label="What the parcel cost",
        max_length=24,
        required=False,
        help_text="In GBP, or with its code, such as USD 640. Halos are costed by it.",
    )
    screening = forms.ChoiceField(label="Screened", choices=Screening.choices)
    screening_words = forms.CharField(label="With what, and result", max_length=200, required=False)
    reason = forms.CharField(
        label="Why count and weight do not fit the size",
        max_length=200,
        required=False,
        help_text="Only where they do not, and you have counted and weighed again.",
    )

    def clean_cost(self):
        """Minor units and currency."""
        return sum_typed(self.cleaned_data["cost"], currency="GBP")

    def clean(self):
        cleaned = super().clean()
        screened = cleaned.get("screening") in (Screening.OURS, Screening.OUTSIDE)
        if screened and not cleaned.get("screening_words", "").strip():
            self.add_error("screening_words", "Say with what, or by whom, and what came out.")
        return cleaned

    def facts(self) -> dict:
        """The keyword arguments of ``open_lot``."""
        data = dict(self.cleaned_data)
        cost, currency = data.pop("cost")
        return {
            **{key: value for key, value in data.items() if key not in ("size", "weight")},
            "cost_minor": cost,
            "currency": currency,
            "size_hmm": hundredths(data["size"]),
            "weight_mct": int(data["weight"] * 1000),
        }


class MoveForm(PlainForm):
    """One movement of a lot."""

    kind = forms.ChoiceField(
        label="What happens", choices=[row for row in LotKind.choices if row[0] != LotKind.RECEIVE]
    )
    reference = forms.CharField(label="Job", max_length=12, required=False, help_text="Its reference.")
    count = Count(label="Stones", help_text="With a minus for an adjustment downwards.")
    weight = forms.DecimalField(
        label="Weight, carat",
        max_digits=8,
        decimal_places=3,
        localize=False,
        required=False,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
        help_text="On the scale, three decimals. Empty for stones that are set, broken or lost: they take their share.",
    )
    holder = forms.CharField(label="Who takes them", max_length=80, required=False)
    reason = forms.CharField(label="Reason", max_length=200, required=False)

    def clean_reference(self):
        typed = self.cleaned_data["reference"].strip().upper()
        if not typed:
            return None
        commission = by_reference(reference=typed)
        if commission is None:
            raise forms.ValidationError("There is no job with this reference.")
        return commission

    def facts(self) -> dict:
        """The keyword arguments of ``move_lot``."""
        data = self.cleaned_data
        return {
            "kind": data["kind"],
            "commission": data["reference"],
            "count": data["count"],
            "weight_mct": int(data["weight"] * 1000) if data["weight"] is not None else None,
            "holder": data["holder"],
            "reason": data["reason"],
        }
