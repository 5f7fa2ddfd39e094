"""Sums in another currency, bills and what broke."""

from __future__ import annotations

from decimal import Decimal

from django import forms

from commissions.money.forms.fields import Figure, day_that_is_open
from commissions.money.lines import rounded
from commissions.money.models import CommitmentKind
from studio import clock
from studio.amounts import exponent
from studio.fields import DateBoxes
from studio.forms import PlainForm


class Abroad(PlainForm):
    """A sum in another currency than the piece's, with the rate of that day."""

    foreign_currency = forms.CharField(
        label="Currency",
        max_length=3,
        help_text="Three letters, such as USD.",
        widget=forms.TextInput(attrs={"class": "short", "autocomplete": "off"}),
    )
    foreign = Figure(label="Sum, as the bank has it", places=3, low=Decimal(0))
    rate = Figure(label="Rate of that day", places=6, low=Decimal(0))
    reads = forms.ChoiceField(label="How the rate reads", widget=forms.RadioSelect)
    rate_source = forms.CharField(
        label="Where the rate comes from",
        max_length=120,
        help_text="The bank's advice, a published table: which, and of what day.",
    )
    on = DateBoxes(label="When it was")

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["on"].initial = clock.today()
        self.fields["reads"].choices = [
            ("ours", f"1 {currency} is so many of the other"),
            ("theirs", f"1 of the other is so many {currency}"),
        ]

    def clean_foreign_currency(self):
        code = self.cleaned_data["foreign_currency"].upper()
        try:
            exponent(code)
        except ValueError:
            raise forms.ValidationError("That is no currency we know.") from None
        if code == self.currency:
            raise forms.ValidationError(
                f"That is the currency of the piece: it needs no rate to be in {code}."
            )
        return code

    def clean_on(self):
        return day_that_is_open(self.cleaned_data["on"])

    def clean(self):
        cleaned = super().clean()
        code, sum_ = cleaned.get("foreign_currency"), cleaned.get("foreign")
        for name in ("foreign", "rate"):
            if name in cleaned and not cleaned[name]:
                self.add_error(name, "More than nought, please.")
        if code and sum_ and -sum_.normalize().as_tuple().exponent > exponent(code):
            self.add_error("foreign", f"{code} has {exponent(code)} decimals.")
        return cleaned

    def foreign_minor(self) -> int:
        """The sum in minor units of its currency."""
        return rounded(self.cleaned_data["foreign"].scaleb(exponent(self.cleaned_data["foreign_currency"])))

    def rate_of(self) -> dict:
        """What the action that keeps a rate takes."""
        ours, theirs = self.currency, self.cleaned_data["foreign_currency"]
        of, into = (ours, theirs) if self.cleaned_data["reads"] == "ours" else (theirs, ours)
        return {
            "of": of,
            "into": into,
            "rate": self.cleaned_data["rate"],
            "source": self.cleaned_data["rate_source"],
            "on": self.cleaned_data["on"],
        }


class ReceiptAbroad(Abroad):
    """A receipt in another currency: which claim it settles."""

    reference = forms.CharField(label="Reference on the statement", max_length=60)

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, currency=currency, **kwargs)
        self.fields["settles"] = Figure(
            label=f"It settles, {currency}",
            places=exponent(currency),
            required=False,
            low=Decimal(0),
            help_text="What the client owed, such as the instalment in full. Left empty, it settles what it is "
            "worth at the rate, and there is no difference.",
        )
        self.order_fields(
            ["foreign_currency", "foreign", "on", "rate", "reads", "rate_source", "settles", "reference"]
        )

    def settles_minor(self) -> int | None:
        """The claim in minor units, where one was named."""
        typed = self.cleaned_data.get("settles")
        return rounded(typed.scaleb(exponent(self.currency))) if typed else None


class BillAbroad(Abroad):
    """A supplier's bill in another currency."""

    kind = forms.ChoiceField(
        label="What", choices=[row for row in CommitmentKind.choices if row[0] != CommitmentKind.TIME]
    )
    words = forms.CharField(label="In words, as the bill has it", max_length=160)
    key = forms.CharField(label="Number of the bill", max_length=60)

    def __init__(self, *args, currency: str, **kwargs):
        kwargs.setdefault("auto_id", "bill_%s")
        super().__init__(*args, currency=currency, **kwargs)
        self.fields["recoverable"] = Figure(
            label=f"Of that, what comes back if the job ends today, {currency}",
            places=exponent(currency),
            required=False,
            low=Decimal(0),
        )
        self.fields["until"] = DateBoxes(label="It can go back until", required=False)
        self.fields["why"] = forms.CharField(
            label="Why the rest cannot be got back", max_length=200, required=False
        )
        self.order_fields(
            ["kind", "words", "key", "foreign_currency", "foreign", "on", "rate", "reads", "rate_source"]
        )

    def recoverable_minor(self) -> int:
        """What comes back, in minor units of the piece's currency."""
        typed = self.cleaned_data.get("recoverable")
        return rounded(typed.scaleb(exponent(self.currency))) if typed else 0


class Paid(PlainForm):
    """A bill that was paid."""

    currency = forms.ChoiceField(label="From the bank in", widget=forms.RadioSelect)
    amount = Figure(label="What the bank took", places=3, low=Decimal(0))
    on = DateBoxes(label="When it was")
    reference = forms.CharField(label="Reference of the payment", max_length=60)

    def __init__(self, *args, currencies: list[str], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = [(code, code) for code in currencies]
        self.fields["on"].initial = clock.today()
        if len(currencies) == 1:
            self.fields["currency"].initial = currencies[0]

    def clean(self):
        cleaned = super().clean()
        code, sum_ = cleaned.get("currency"), cleaned.get("amount")
        if code and sum_ is not None and -sum_.normalize().as_tuple().exponent > exponent(code):
            self.add_error("amount", f"{code} has {exponent(code)} decimals.")
        return cleaned

    def clean_on(self):
        return day_that_is_open(self.cleaned_data["on"])

    def minor(self) -> int:
        """What the bank took, in minor units."""
        return rounded(self.cleaned_data["amount"].scaleb(exponent(self.cleaned_data["currency"])))


class Broken(PlainForm):
    """What of a purchase broke or was lost."""

    why = forms.CharField(label="What happened", max_length=140)

    def __init__(self, *args, currency: str, **kwargs):
        kwargs.setdefault("auto_id", "broken_%s")
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["amount"] = Figure(
            label=f"What it cost us, {currency}", places=exponent(currency), low=Decimal(0)
        )
        self.order_fields(["amount", "why"])

    def minor(self) -> int:
        """The cost in minor units."""
        return rounded(self.cleaned_data["amount"].scaleb(exponent(self.currency)))
