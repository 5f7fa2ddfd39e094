"""What is typed in the years after: checks, worries, advice, small jobs."""

from __future__ import annotations

from decimal import Decimal

from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.delivery.forms.photos import Photographs
from commissions.delivery.models import Choice, How, Sign
from commissions.money.models import TaxCode
from commissions.record.models import Work
from studio import amounts
from studio.fields import Words
from studio.forms import PlainForm


class CareDone(PlainForm):
    """What a client found at a date of care."""

    findings = Words(
        label=_("How is it?"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": _("Say in a few words how it is.")},
    )
    photos = Photographs()


class WorryForm(PlainForm):
    """What worries a client, in plain choices, with photographs."""

    sign = forms.ChoiceField(
        label=_("What do you see?"),
        choices=Sign.choices,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose what comes nearest; “Something else” will do.")},
    )
    photos = Photographs()
    words = Words(
        label=_("In your words"),
        required=False,
        max_length=2000,
        help_text=_("Where on the ring, since when, and what happened before."),
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def clean(self):
        data = super().clean()
        if not data.get("photos") and not data.get("words") and not {"photos", "words"} & self.errors.keys():
            self.add_error("photos", _("Send a photograph, or say in a few words what you see."))
        return data


class AdviceForm(PlainForm):
    """One of three plain choices, and why."""

    choice = forms.ChoiceField(
        label="What should they do?",
        choices=Choice.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose one: the client must not have to guess."},
    )
    words = Words(
        label="What you see, and why",
        max_length=2000,
        help_text="In plain words, as the client reads them. Of a surprise, nothing of this stands in a letter.",
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": "Say in a sentence what you see and why."},
    )


class CheckForm(PlainForm):
    """A check that the studio made."""

    care = forms.ChoiceField(label="Which check", required=False)
    how = forms.ChoiceField(
        label="How it was looked at",
        choices=[row for row in How.choices if row[0] != How.WEARER],
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it was in your hands or on photographs."},
    )
    findings = Words(
        label="What was found and done",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": "Write what was found, even where all is well."},
    )
    photos = Photographs(help_text="Up to four.")

    def __init__(self, *args, dates=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["care"].choices = [
            *((str(row.pk), f"{row.words}, due {row.due_on:%-d %B %Y}") for row in dates if not row.done_at),
            ("", "A check in between"),
        ]


class JobForm(PlainForm):
    """What is to be done to a ring that is with its wearer."""

    work = forms.ChoiceField(
        label="What is done",
        choices=Work.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Say what is done."},
    )
    size = forms.DecimalField(
        label="Inner circumference afterwards, mm",
        required=False,
        max_digits=5,
        decimal_places=2,
        min_value=Decimal(35),
        max_value=Decimal(85),
        help_text="For a resize. Mind the limits on the ring record: stones all round allow none.",
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
    )
    words = Words(
        label="In words, as the client reads and agrees to it",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": "Say what is to be done."},
    )

    def clean(self):
        data = super().clean()
        if data.get("work") == Work.RESIZE and not data.get("size") and "size" not in self.errors:
            self.add_error("size", "A resize needs the inner circumference that the ring is to have.")
        return data

    def facts(self) -> dict:
        """The keyword arguments of ``open_job``."""
        data = self.cleaned_data
        wanted = data["size"] if data["work"] == Work.RESIZE else None
        return {
            "work": data["work"],
            "words": data["words"],
            "size_hmm": round(wanted * 100) if wanted else None,
        }


class OfferForm(PlainForm):
    """What a small job costs; nothing is an answer too."""

    price = forms.CharField(
        label="Price without tax", max_length=20, help_text="0 where it is free of charge.", initial="0"
    )
    tax_code = forms.ModelChoiceField(
        label="Tax", queryset=TaxCode.objects.filter(active=True), to_field_name="code", required=False
    )
    note = Words(
        label="Words beside the price",
        required=False,
        max_length=1000,
        help_text="For example who pays the way here and back, and what is not included.",
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.currency = currency

    def clean_price(self):
        typed = self.cleaned_data["price"].strip()
        if typed in ("0", "0.00", "nothing"):
            return 0
        try:
            return amounts.typed_to_minor(typed=typed, currency=self.currency)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def clean(self):
        data = super().clean()
        if data.get("price") and not data.get("tax_code") and "tax_code" not in self.errors:
            self.add_error("tax_code", "Choose a tax code.")
        return data

    def facts(self) -> dict:
        """The keyword arguments of ``offer_job``."""
        data, code = self.cleaned_data, self.cleaned_data.get("tax_code")
        return {
            "net_minor": data["price"],
            "tax_code": code.code if code else "",
            "tax_rate": code.rate if code else Decimal(0),
            "note": data["note"],
            "valid_until": None,
        }


class TakeInForm(PlainForm):
    """A ring that came back, before anything is done to it."""

    ring = forms.DecimalField(
        label="Ring on the scale, g",
        max_digits=7,
        decimal_places=3,
        min_value=Decimal("0.1"),
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
    )
    condition = Words(
        label="How it looks",
        max_length=2000,
        help_text="Worn claws, dents, chips, missing stones; or that there are none.",
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": "Say how the ring looks before anybody works on it."},
    )
    seal = forms.CharField(label="Number of the seal it came under", max_length=40, required=False)

    def facts(self) -> dict:
        """The keyword arguments of ``take_in_ring``."""
        data = self.cleaned_data
        return {
            "ring_mg": int(data["ring"] * 1000),
            "condition": data["condition"],
            "seal": data["seal"],
        }
