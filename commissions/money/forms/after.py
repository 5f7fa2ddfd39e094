"""What comes after the agreement: change notes, statements, refunds."""

from __future__ import annotations

from decimal import Decimal

from django import forms

from commissions.money.forms.fields import Figure
from commissions.money.lines import rounded
from commissions.money.models import TaxCode
from commissions.money.statements import Mapping
from studio.amounts import exponent
from studio.forms import PlainForm

DATE_FORMS = [
    ("%d/%m/%Y", "27/03/2027"),
    ("%Y-%m-%d", "2027-03-27"),
    ("%d.%m.%Y", "27.03.2027"),
    ("%m/%d/%Y", "03/27/2027 (month first)"),
    ("%d %b %Y", "27 Mar 2027"),
]


class Change(PlainForm):
    """A change note."""

    what = forms.CharField(label="What changes", max_length=300)
    why = forms.CharField(label="Why", max_length=300)
    asked_by = forms.ChoiceField(
        label="Who asked for it",
        choices=[("client", "The client"), ("us", "We did")],
        widget=forms.RadioSelect,
    )
    tax = forms.ModelChoiceField(
        label="Tax", queryset=TaxCode.objects.filter(active=True), to_field_name="code"
    )
    days = forms.IntegerField(label="Days more, or less", min_value=-365, max_value=365, initial=0)
    metal = Figure(label="Metal more, or less, in g", places=3, required=False)

    def __init__(self, *args, currency: str, **kwargs):
        kwargs.setdefault("auto_id", "change_%s")
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["price"] = Figure(
            label=f"Price more, or less, without tax, {currency}",
            places=exponent(currency),
            help_text="Nought where it costs nothing; with a minus where it becomes cheaper.",
        )
        self.order_fields(["what", "why", "asked_by", "price", "tax", "days", "metal"])

    def act(self) -> dict:
        """What the action takes."""
        typed = self.cleaned_data
        return {
            "what": typed["what"],
            "why": typed["why"],
            "asked_by": typed["asked_by"],
            "net_minor": rounded(typed["price"].scaleb(exponent(self.currency))),
            "tax": typed["tax"],
            "days": typed["days"],
            "metal_mg": int((typed["metal"] or Decimal(0)) * 1000),
        }


class Statement(PlainForm):
    """A bank statement and, for CSV, which column holds what."""

    file = forms.FileField(
        label="The statement",
        help_text="A camt.053 file (XML) is read as it is. For CSV name its columns below.",
        widget=forms.ClearableFileInput(attrs={"accept": ".xml,.csv,.txt,text/csv,application/xml"}),
    )
    currency = forms.ChoiceField(label="Currency of the account (CSV)")
    date = forms.CharField(label="Column of the day", max_length=60, initial="Date", required=False)
    date_format = forms.ChoiceField(label="How the day is written", choices=DATE_FORMS)
    amount = forms.CharField(label="Column of the amount", max_length=60, initial="Amount", required=False)
    reference = forms.CharField(
        label="Column of the reference", max_length=60, initial="Reference", required=False
    )
    counterpart = forms.CharField(label="Column of the sender", max_length=60, required=False)

    def __init__(self, *args, currencies: list[str], **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = [(code, code) for code in currencies]

    def clean_file(self):
        file = self.cleaned_data["file"]
        if file.size > 10_000_000:
            raise forms.ValidationError("At most 10 MB: split the statement.")
        return file

    def mapping(self) -> Mapping:
        """Which column holds what."""
        names = ("date", "amount", "reference", "counterpart", "date_format")
        return Mapping(**{name: self.cleaned_data[name] for name in names})


class Match(PlainForm):
    """Which piece a receipt is for."""

    reference = forms.CharField(label="Reference of the piece", max_length=8)

    def clean_reference(self):
        plain = "".join(sign for sign in self.cleaned_data["reference"].upper() if sign.isalnum())
        return f"{plain[:3]}-{plain[3:]}"


class Refund(PlainForm):
    """A refund that was paid."""

    reference = forms.CharField(label="Reference of the payment", max_length=60)

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["amount"] = Figure(label=f"Amount, {currency}", places=exponent(currency), low=Decimal(0))
        self.order_fields(["amount", "reference"])

    def minor(self) -> int:
        """The amount in minor units."""
        return rounded(self.cleaned_data["amount"].scaleb(exponent(self.currency)))
