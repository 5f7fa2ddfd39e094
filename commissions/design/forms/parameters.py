"""The parameters of a design as a person types them."""

from __future__ import annotations

import unicodedata

from django import forms

from commissions.design import computing
from commissions.design.forms.fields import Millimetres
from commissions.design.lookalikes import look_alike
from commissions.design.variations import Change
from gemcalc.alloys import ALLOYS
from gemcalc.errors import BadInput
from gemcalc.halo.case import size_label
from gemcalc.profiles import PROFILES
from gemcalc.rings import ring_of_size
from studio.forms import PlainForm

CUTS = [
    ("round", "Round"),
    ("oval", "Oval"),
    ("cushion", "Cushion"),
    ("pear", "Pear"),
    ("marquise", "Marquise"),
    ("emerald", "Emerald"),
    ("princess", "Princess"),
    ("heart", "Heart"),
]
SYSTEMS = [
    ("iso", "Inside circumference, mm"),
    ("us", "United States, Canada"),
    ("uk", "United Kingdom, Ireland, Australia"),
    ("jp", "Japan"),
    ("ch", "Switzerland, Italy"),
]
DRAFT_CUTS = [*CUTS, ("outline", "As scanned")]
SHAPES = [
    ("follow", "Follows the stone"),
    ("round", "Round"),
    ("cushion", "Cushion"),
    ("kept", "As it came from the fit"),
]


class Parameters(PlainForm):
    """One design, from the stone outwards."""

    cut = forms.ChoiceField(label="Centre stone", choices=DRAFT_CUTS)
    length_mm = Millimetres(label="Length or diameter, mm")
    width_mm = Millimetres(
        label="Width, mm", required=False, help_text="The same as the length for a round stone."
    )
    depth_mm = Millimetres(label="Depth, mm")
    halo = forms.BooleanField(label="A halo round it", required=False)
    shape = forms.ChoiceField(label="Outline of the halo", choices=SHAPES, required=False)
    shape_mm = Millimetres(
        label="Size of that outline, mm", required=False, help_text="Only where it does not follow the stone."
    )
    wanted_mm = Millimetres(label="Halo stones, wanted size, mm", required=False)
    sizes = forms.CharField(
        label="Sizes in the drawer, mm",
        required=False,
        max_length=200,
        help_text="For example 1.1 1.2 1.3. Left empty, every tenth from 1.0 to 1.8.",
    )
    stock = forms.CharField(
        label="How many of each",
        required=False,
        max_length=300,
        help_text="For example 1.2:40 1.3:12. Left empty, as many as it takes; then they are ordered.",
    )
    clearance_mm = Millimetres(label="Clearance between stone and halo, mm", required=False)
    claws = forms.ChoiceField(label="Claws", choices=[("4", "Four"), ("6", "Six"), ("8", "Eight, in pairs")])
    wire_mm = Millimetres(label="Claw wire, mm")
    profile = forms.ChoiceField(label="Shank", choices=[(name, name.capitalize()) for name in PROFILES])
    shank_width_mm = Millimetres(label="Width at the top, mm")
    shank_thickness_mm = Millimetres(label="Thickness at the top, mm")
    shank_width_end_mm = Millimetres(label="Width at the back, mm")
    shank_thickness_end_mm = Millimetres(label="Thickness at the back, mm")
    system = forms.ChoiceField(label="Ring size in", choices=SYSTEMS)
    size = forms.CharField(label="Ring size", max_length=20, help_text="Such as 54, 6 1/2 or N½")
    metal = forms.ChoiceField(label="Metal", choices=[(name, name) for name in ALLOYS])
    head_mm3 = Millimetres(label="Head and gallery, mm³", help_text="An allowance until there is a model.")
    engraving = forms.CharField(label="Engraving", max_length=40, required=False)
    case = forms.CharField(required=False, max_length=20000, widget=forms.HiddenInput)
    begin = forms.CharField(required=False, max_length=300, widget=forms.HiddenInput)
    note = forms.CharField(
        label="Words to the client", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def clean_size(self):
        try:
            ring = ring_of_size(system=self.cleaned_data.get("system", "iso"), size=self.cleaned_data["size"])
        except BadInput as error:
            raise forms.ValidationError(error.message) from None
        return round(ring.circumference_mm, 3)

    def clean_stock(self):
        stock: dict[str, int] = {}
        for word in self.cleaned_data["stock"].replace(",", ".").replace(";", " ").split():
            size, _colon, count = word.partition(":")
            try:
                label = size_label(float(size))
                stock[label] = stock.get(label, 0) + int(count)
            except ValueError:
                raise forms.ValidationError(
                    "Write size, colon and count with a blank between them, such as 1.2:40 1.3:12."
                ) from None
        return stock or None

    def clean_engraving(self):
        typed = unicodedata.normalize("NFC", self.cleaned_data["engraving"].strip())
        doubt = look_alike(typed)
        if doubt:
            raise forms.ValidationError(doubt)
        return typed

    def clean(self):
        cleaned = super().clean()
        stock = cleaned.get("stock")
        if stock and cleaned.get("sizes"):
            # The drawer decides which sizes there are: a size nobody has cannot be laid.
            cleaned["sizes"] = sorted({float(label) for label in stock})
        return cleaned

    def clean_sizes(self):
        typed = self.cleaned_data["sizes"].replace(",", ".").replace(";", " ").split()
        try:
            return sorted({round(float(word), 3) for word in typed}) or computing.DEFAULT_SIZES_MM
        except ValueError:
            raise forms.ValidationError(
                "Write sizes in mm with a blank between them, such as 1.1 1.2 1.3."
            ) from None


class Variation(PlainForm):
    """What if: one or more changes to a revision."""

    centre_mm = forms.DecimalField(
        label="Centre by, mm",
        required=False,
        min_value=-5,
        max_value=5,
        max_digits=5,
        decimal_places=3,
        help_text="Such as 1 or −0.5",
        widget=forms.TextInput(attrs={"inputmode": "text", "class": "short"}),
    )
    melee_mm = Millimetres(
        label="Halo stones of, mm", required=False, min_value=0.7, max_value=3, help_text="Such as 1.4"
    )
    metal = forms.ChoiceField(
        label="Alloy", required=False, choices=[("", "The same"), *((name, name) for name in ALLOYS)]
    )
    system = forms.ChoiceField(label="Ring size in", choices=SYSTEMS, required=False)
    size = forms.CharField(label="Finger", max_length=20, required=False, help_text="Such as 54, 6 1/2 or N½")

    def __init__(self, data=None, **more):
        if data is not None and "centre_mm" in data:
            data = data.copy()
            data["centre_mm"] = data["centre_mm"].strip().replace("−", "-").replace(",", ".")
        super().__init__(data, **more)

    def clean(self):
        cleaned = super().clean()
        if cleaned.get("size"):
            try:
                ring = ring_of_size(system=cleaned.get("system") or "iso", size=cleaned["size"])
            except BadInput as error:
                self.add_error("size", error.message)
            else:
                cleaned["circumference_mm"] = round(ring.circumference_mm, 3)
        return cleaned

    def change(self) -> Change:
        """The change that was typed."""
        data = self.cleaned_data
        centre, melee = data.get("centre_mm"), data.get("melee_mm")
        return Change(
            centre_mm=float(centre) if centre else None,
            melee_mm=float(melee) if melee else None,
            metal=data.get("metal") or None,
            circumference_mm=data.get("circumference_mm"),
        )
