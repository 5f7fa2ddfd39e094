"""What is typed when a stone comes in."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from django import forms

from commissions.design.forms import Millimetres
from commissions.sourcing.actions.checking import weight_words
from commissions.sourcing.forms.stones import Carats, hundredths, sum_typed
from commissions.sourcing.models import Risk, Screening, Shot, Stone
from studio.forms import PlainForm

READINGS_MM = Decimal("0.03")
"""Two readings of one measure may differ by this much, mm. Our own figure."""

MEASURES = ("length", "width", "depth")


class CheckInForm(PlainForm):
    """What we measure of a stone ourselves; the inscription is read before the report is looked at."""

    inscription_typed = forms.CharField(
        label="Inscription on the girdle",
        max_length=40,
        required=False,
        help_text="Read it under the loupe and type it before you look at the report.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    weight = Carats(label="Weight on the scale, carat, three decimals")
    length = Millimetres(label="Greatest diameter or length, mm: first reading")
    length_2 = Millimetres(label="The same, second reading")
    width = Millimetres(label="Least diameter or width, mm: first reading")
    width_2 = Millimetres(label="The same, second reading")
    depth = Millimetres(label="Depth, mm: first reading")
    depth_2 = Millimetres(label="The same, second reading")
    weight_reason = forms.CharField(
        label="Why weight and dimensions do not agree",
        max_length=200,
        required=False,
        help_text="Only where they are more than 3 % apart and you have measured again.",
    )
    girdle_note = forms.CharField(
        label="Girdle", max_length=200, required=False, help_text="Thin or thick places, by the clock."
    )
    screening = forms.ChoiceField(label="Natural or laboratory-grown, told how", choices=Screening.choices)
    screening_words = forms.CharField(
        label="Instrument or laboratory, and result", max_length=200, required=False
    )
    origin_statement = forms.CharField(
        label="Supplier's statement of origin",
        max_length=200,
        required=False,
        help_text="Rules on origin change and differ by country: ask whoever advises you on customs.",
    )
    seal = forms.CharField(label="Number of the sealed bag", max_length=40, required=False)
    risk = forms.ChoiceField(
        label="Who bears the risk while it lies here",
        choices=Risk.choices,
        required=False,
        help_text="As the slip, the agreement or your own policy says. Many policies leave out work on the stone.",
    )
    value = forms.CharField(
        label="Value it is held at",
        max_length=24,
        required=False,
        help_text="A client's own stone is valued by the client, never by us.",
    )
    value_basis = forms.CharField(
        label="Where that value comes from",
        max_length=120,
        required=False,
        help_text="The supplier's price, the client's word, a valuation and its date.",
    )

    def __init__(self, *args, stone: Stone, **kwargs):
        super().__init__(*args, **kwargs)
        self.stone = stone

    def clean_value(self):
        """Minor units and currency."""
        default = self.stone.currency or (self.stone.commission.currency if self.stone.commission else "GBP")
        return sum_typed(self.cleaned_data["value"], currency=default)

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("value", (None,))[0] is not None and not cleaned.get("value_basis", "").strip():
            self.add_error("value_basis", "Say where the value comes from.")
        for name in MEASURES:
            first, second = cleaned.get(name), cleaned.get(f"{name}_2")
            if first is None or second is None:
                continue
            if abs(first - second) > READINGS_MM:
                self.add_error(
                    f"{name}_2",
                    f"The two readings are {abs(first - second):.2f} mm apart: clean stone and jaws and measure again.",
                )
        if not self.errors:
            facts = self.facts()
            if facts["width_hmm"] > facts["length_hmm"]:
                self.add_error("width", "The least diameter cannot be more than the greatest.")
            if facts["depth_hmm"] >= facts["length_hmm"]:
                self.add_error("depth", "The depth is less than the greatest diameter.")
        if not self.errors and not cleaned["weight_reason"].strip():
            facts = self.facts()
            doubt = weight_words(
                stone=self.stone,
                **{key: facts[key] for key in ("weight_mct", "length_hmm", "width_hmm", "depth_hmm")},
            )
            if doubt:
                self.add_error("weight", f"{doubt} If it is so, say below why.")
        screened = cleaned.get("screening") in (Screening.OURS, Screening.OUTSIDE)
        if screened and not cleaned.get("screening_words", "").strip():
            self.add_error("screening_words", "Say with what, or by whom, and what came out.")
        return cleaned

    def facts(self) -> dict:
        """The keyword arguments of ``check_in``: the mean of two readings, and the readings themselves."""
        data = self.cleaned_data
        readings = {name: [hundredths(data[name]), hundredths(data[f"{name}_2"])] for name in MEASURES}
        return {
            "inscription_typed": data["inscription_typed"],
            "weight_mct": int(data["weight"] * 1000),
            **{
                f"{name}_hmm": int((Decimal(sum(pair)) / 2).quantize(Decimal(1), ROUND_HALF_UP))
                for name, pair in readings.items()
            },
            "readings": readings,
            **{
                name: data[name]
                for name in (
                    "weight_reason",
                    "girdle_note",
                    "screening",
                    "screening_words",
                    "origin_statement",
                    "seal",
                    "risk",
                    "value_basis",
                )
            },
            "value_minor": data["value"][0],
            "value_currency": data["value"][1],
        }


class PhotoForm(PlainForm):
    """One photograph of a stone."""

    upload = forms.FileField(label="Photograph", widget=forms.ClearableFileInput(attrs={"accept": "image/*"}))
    shot = forms.ChoiceField(label="What it shows", choices=Shot.choices)
    caption = forms.CharField(label="One sentence", max_length=200, required=False)
