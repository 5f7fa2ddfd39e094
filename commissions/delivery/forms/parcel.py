"""What is typed at packing, dispatch and arrival."""

from __future__ import annotations

from decimal import Decimal

from babel import Locale
from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.delivery.packing import SHOTS, checks_for
from commissions.record.models import Commission
from studio import amounts
from studio.fields import DATE_FORMATS
from studio.forms import PlainForm

COUNTRIES = sorted(
    (
        (code, name)
        for code, name in Locale("en").territories.items()
        if len(code) == 2 and code.isalpha() and code not in ("EU", "EZ", "UN", "QO", "XA", "XB", "ZZ")
    ),
    key=lambda row: row[1],
)


class AddressForm(PlainForm):
    """Where the ring goes, as it is written on the box."""

    addressee = forms.CharField(
        label=_("Name on the parcel"), max_length=120, widget=forms.TextInput(attrs={"autocomplete": "name"})
    )
    lines = forms.CharField(
        label=_("Address"),
        max_length=500,
        help_text=_(
            "As it is written on a parcel, without the country. No hotel, no post box: somebody must sign."
        ),
        widget=forms.Textarea(attrs={"rows": 5, "autocomplete": "street-address"}),
    )
    country = forms.ChoiceField(label=_("Country"), choices=COUNTRIES)


class Packing(PlainForm):
    """The fixed list, every line answered."""

    def __init__(self, *args, commission: Commission, **kwargs):
        super().__init__(*args, **kwargs)
        self.currency = currency = commission.currency
        self.checks = checks_for(commission=commission)
        for check in self.checks:
            self.fields[check.key] = forms.ChoiceField(
                label=check.question,
                choices=[("yes", "Yes"), ("no", "No")],
                widget=forms.RadioSelect,
                error_messages={"required": f"{check.question} Answer yes or no."},
            )
        self.fields["ring"] = forms.DecimalField(
            label="Ring on the scale, g",
            max_digits=7,
            decimal_places=3,
            min_value=Decimal("0.1"),
            widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
        )
        self.fields["seal"] = forms.CharField(label="Number of the seal", max_length=40)
        self.fields["insured"] = forms.CharField(label=f"Insured value, {currency}", max_length=20)

    def clean_insured(self):
        try:
            return amounts.typed_to_minor(typed=self.cleaned_data["insured"], currency=self.currency)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def facts(self) -> dict:
        """The keyword arguments of ``pack``."""
        data = self.cleaned_data
        return {
            "answers": {check.key: data[check.key] for check in self.checks},
            "ring_mg": int(data["ring"] * 1000),
            "seal": data["seal"],
            "insured_minor": data["insured"],
        }


class ParcelPhotoForm(PlainForm):
    """A photograph of the parcel, and what it shows."""

    shot = forms.ChoiceField(label="What it shows", choices=SHOTS)
    photo = forms.FileField(label="Photograph")


class LimitForm(PlainForm):
    """What one parcel may be worth, and where that was read."""

    carrier = forms.CharField(
        label="Carrier", max_length=80, required=False, help_text="Empty for your insurer's own policy."
    )
    currency = forms.RegexField(
        label="Currency", regex=r"^[A-Z]{3}$", max_length=3, help_text="Three letters, such as GBP."
    )
    most = forms.CharField(label="Most that one parcel may be worth", max_length=20)
    source = forms.CharField(
        label="Where you read it",
        max_length=160,
        help_text="For example the number of the policy, or the carrier's terms.",
    )
    as_of = forms.DateField(label="Read on", input_formats=DATE_FORMATS, help_text="For example 17 9 2026.")

    def clean_most(self):
        currency = self.cleaned_data.get("currency")
        if not currency:
            return None
        try:
            return amounts.typed_to_minor(typed=self.cleaned_data["most"], currency=currency)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def facts(self) -> dict:
        """The keyword arguments of ``keep_limit``."""
        data = self.cleaned_data
        return {
            "carrier": data["carrier"],
            "currency": data["currency"],
            "minor": data["most"],
            "source": data["source"],
            "as_of": data["as_of"],
        }


class Dispatch(PlainForm):
    """Who carries it and when it should be there."""

    carrier = forms.CharField(label="Carrier", max_length=80)
    service = forms.CharField(label="Service", max_length=80, required=False)
    tracking = forms.CharField(label="Tracking number", max_length=80)
    expected_on = forms.DateField(
        label="Expected on", input_formats=DATE_FORMATS, help_text="For example 17 9 2026; no weekend."
    )


class Arrival(PlainForm):
    """What proves that it arrived."""

    proof = forms.CharField(
        label="What proves that it arrived",
        max_length=200,
        help_text="The carrier's entry, a signature, the client's word.",
    )


class ClientArrival(PlainForm):
    """The client says that it is there."""

    words = forms.CharField(
        label=_("Is everything as it should be?"),
        max_length=200,
        required=False,
        help_text=_("Anything that is not right: say it here, and we answer at once."),
    )
