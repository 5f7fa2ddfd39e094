"""What is typed about a stone."""

from __future__ import annotations

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
    price = forms.CharField(label="Price to us", max_length=20, required=False)
    return_by = forms.DateField(
        label="On approval until",
        required=False,
        input_formats=DATE_FORMATS,
        help_text="For example 22 9 2026",
    )
    slip = forms.CharField(label="Number of the supplier's slip", max_length=40, required=False)
    note = forms.CharField(
        label="Note", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def __init__(self, *args, currency: str, **kwargs):
        super().__init__(*args, **kwargs)
        self.currency = currency

    def clean_price(self):
        typed = self.cleaned_data["price"].strip()
        if not typed:
            return None
        try:
            return amounts.typed_to_minor(typed=typed, currency=self.currency)
        except ValueError as error:
            raise forms.ValidationError(str(error)) from None

    def clean(self):
        cleaned = super().clean()
        length, width, depth = (cleaned.get(name) for name in ("length", "width", "depth"))
        if length and width and width > length:
            self.add_error("width", "The least diameter cannot be more than the greatest.")
        if length and depth and depth >= length:
            self.add_error("depth", "The depth is less than the greatest diameter.")
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
            "price_minor": data["price"],
            "currency": self.currency if data["price"] is not None else "",
            "return_by": data["return_by"],
            "slip": data["slip"],
            "note": data["note"],
        }
