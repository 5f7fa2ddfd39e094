"""Receipts, corrections and what was spent."""

from __future__ import annotations

from django import forms

from commissions.money.forms.fields import day_that_is_open
from commissions.money.models import CommitmentKind
from studio import amounts, clock
from studio.fields import DateBoxes
from studio.forms import PlainForm


class _Sum(forms.CharField):
    """An amount in the currency of the commission, kept as minor units."""

    def __init__(self, *, currency: str, **kwargs):
        self.currency = currency
        kwargs.setdefault("widget", forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}))
        super().__init__(**kwargs)

    def clean(self, value):
        typed = super().clean(value)
        if not typed:
            return None
        try:
            minor = amounts.typed_to_minor(typed=typed, currency=self.currency)
        except ValueError as error:
            raise forms.ValidationError(str(error).capitalize() + ".") from None
        if minor <= 0:
            raise forms.ValidationError("More than nought, please.")
        return minor


class Receipt(PlainForm):
    """Money that has come in."""

    reference = forms.CharField(
        label="Reference on the statement",
        max_length=60,
        help_text="The same reference is entered once, however often it is sent.",
    )

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["minor"] = _Sum(currency=currency, label=f"Amount, {currency}")
        self.fields["on"] = DateBoxes(label="Day it came in", initial=clock.today())
        self.order_fields(["minor", "on", "reference"])

    def clean_on(self):
        return day_that_is_open(self.cleaned_data["on"])


class Reason(PlainForm):
    """Why an entry is wrong."""

    reason = forms.CharField(label="Why is it wrong?", max_length=140)


class Spent(PlainForm):
    """What was bought or booked for a job."""

    kind = forms.ChoiceField(label="What", choices=CommitmentKind.choices)
    words = forms.CharField(label="In words, as the bill has it", max_length=160)

    def __init__(self, *args, currency: str, **kwargs):
        # It stands on one page with the receipt, whose boxes have the same names.
        kwargs.setdefault("auto_id", "spent_%s")
        super().__init__(*args, **kwargs)
        self.fields["minor"] = _Sum(currency=currency, label=f"Cost, {currency}")
        self.fields["recoverable"] = _Sum(
            currency=currency,
            label=f"Of that, what comes back if the job ends today, {currency}",
            required=False,
            help_text="A stone that its seller takes back, metal at the refiner's value.",
        )
        self.fields["until"] = DateBoxes(label="It can go back until", required=False)
        self.fields["why"] = forms.CharField(
            label="Why the rest cannot be got back", max_length=200, required=False
        )
        self.fields["key"] = forms.CharField(label="Number of the bill", max_length=60)
        self.fields["paid"] = forms.BooleanField(label="Paid from the bank already", required=False)

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("recoverable") and cleaned.get("minor") and cleaned["recoverable"] > cleaned["minor"]:
            self.add_error("recoverable", "No more can come back than was spent.")
        return cleaned
