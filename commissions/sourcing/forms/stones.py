"""What is typed about a stone."""

from __future__ import annotations

import re
from decimal import Decimal

from django import forms

from commissions.design.forms import CUTS, Millimetres
from commissions.design.typed import outline_of
from commissions.sourcing.models import Origin, Owner
from gemcalc.stones import SPECIES
from studio import amounts
from studio.fields import DATE_FORMATS
from studio.forms import PlainForm


def hundredths(length: Decimal) -> int:
    """0.01 mm from mm, half up."""
    return int((length * 100).quantize(Decimal(1)))


_CODE = re.compile(r"\b[A-Za-z]{3}\b")


def sum_typed(typed: str, *, currency: str) -> tuple[int | None, str]:
    """
    Minor units and currency of a sum as it was typed, with its own code or in *currency*; nothing for nothing.

    Raises:
        ValidationError: it is no sum, or the code no currency.
    """
    typed = typed.strip()
    if not typed:
        return None, ""
    found = _CODE.search(typed)
    code = found[0].upper() if found else currency
    try:
        return amounts.typed_to_minor(typed=_CODE.sub("", typed), currency=code), code
    except ValueError as error:
        raise forms.ValidationError(str(error)) from None


class Carats(forms.DecimalField):
    """A weight in carat, with comma or point, to three decimals."""

    def __init__(self, **kwargs):
        super().__init__(
            max_digits=7,
            decimal_places=3,
            min_value=Decimal("0.01"),
            max_value=Decimal(100),
            widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
            **kwargs,
        )

    def to_python(self, value):
        if isinstance(value, str):
            value = value.strip().lower().replace(",", ".").removesuffix("ct").strip()
        return super().to_python(value)


def species_choices() -> list[tuple[str, str]]:
    """Every species by the names the trade has for it; origin is asked apart."""
    words = sorted({word for row in SPECIES for word in (row.key, *row.also)} - {"laboratory-grown-diamond"})
    return [(word, word.replace("-", " ").capitalize()) for word in words]


class Candidate(PlainForm):
    """A stone that could be the one, from its report or its supplier's list."""

    name = forms.CharField(
        label="Name", max_length=80, help_text="As you would call it, such as Round 1.05 Antwerp."
    )
    species = forms.ChoiceField(label="Species", choices=species_choices, initial="diamond")
    origin = forms.ChoiceField(label="Origin", choices=Origin.choices)
    cut = forms.ChoiceField(label="Cut", choices=CUTS)
    length = Millimetres(label="Greatest diameter or length, mm")
    width = Millimetres(label="Least diameter or width, mm")
    depth = Millimetres(label="Depth, mm")
    weight = Carats(label="Weight, carat", required=False)
    report_number = forms.CharField(label="Report number", max_length=40, required=False)
    owner = forms.ChoiceField(label="Whose stone", choices=Owner.choices)
    supplier = forms.CharField(label="Supplier", max_length=80, required=False)
    price = forms.CharField(label="Price to us", max_length=24, required=False)
    asked = forms.CharField(
        label="Price to the client, before tax",
        max_length=24,
        required=False,
        help_text="What the client reads beside this stone; empty: with the quotation.",
    )
    return_by = forms.DateField(
        label="On approval until",
        required=False,
        input_formats=DATE_FORMATS,
        help_text="For example 22 9 2026",
    )
    received_on = forms.DateField(label="Came on", required=False, input_formats=DATE_FORMATS)
    slip = forms.CharField(label="Number of the supplier's slip", max_length=40, required=False)
    insurer = forms.CharField(
        label="Who insures it on the way, both ways",
        max_length=80,
        required=False,
        help_text="As the slip says; carriers leave loose stones out more often than not.",
    )
    note = forms.CharField(
        label="Note", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.currency = currency
        self.fields["price"].help_text = f"In {currency}, or with another code, such as USD 3,100."

    def clean_price(self):
        """Minor units and currency; a code that is written before or behind the sum counts."""
        return sum_typed(self.cleaned_data["price"], currency=self.currency)

    def clean_asked(self):
        minor, currency = sum_typed(self.cleaned_data["asked"], currency=self.currency)
        if currency not in ("", self.currency):
            raise forms.ValidationError(f"The client's price is in {self.currency}.")
        return minor

    def clean(self):
        cleaned = super().clean()
        length, width, depth = (cleaned.get(name) for name in ("length", "width", "depth"))
        if length and width and width > length:
            self.add_error("width", "The least diameter cannot be more than the greatest.")
        if length and depth and depth >= length:
            self.add_error("depth", "The depth is less than the greatest diameter.")
        came, back = cleaned.get("received_on"), cleaned.get("return_by")
        if came and back and back < came:
            self.add_error("return_by", "It cannot have to go back before it came.")
        return cleaned

    def facts(self) -> dict:
        """The keyword arguments of ``add_candidate``."""
        data = self.cleaned_data
        return {
            "name": data["name"],
            "species": data["species"],
            "origin": data["origin"],
            "outline": outline_of(
                cut=data["cut"], length_mm=float(data["length"]), width_mm=float(data["width"])
            ),
            "length_hmm": hundredths(data["length"]),
            "width_hmm": hundredths(data["width"]),
            "depth_hmm": hundredths(data["depth"]),
            "weight_mct": int(data["weight"] * 1000) if data["weight"] else None,
            "report_number": data["report_number"],
            "owner": data["owner"],
            "supplier": data["supplier"],
            "price_minor": data["price"][0],
            "currency": data["price"][1],
            "asked_minor": data["asked"],
            "received_on": data["received_on"],
            "insurer": data["insurer"],
            "return_by": data["return_by"],
            "slip": data["slip"],
            "note": data["note"],
        }
