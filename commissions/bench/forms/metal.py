"""Forms of the metal account."""

from __future__ import annotations

from django import forms

from commissions.bench.forms.fields import GramsField
from commissions.bench.models import MetalLot, MovementKind
from commissions.bench.models.metal import Nickel
from commissions.intake.models import Client
from gemcalc.alloys import ALLOYS
from studio.forms import PlainForm
from studio.people.models import Person

OF_JOB = [MovementKind.ISSUE, MovementKind.RETURN, MovementKind.FILINGS, MovementKind.PIECE]
OF_LOT = [MovementKind.IN, MovementKind.CLIENT_BACK]


class LotForm(PlainForm):
    """Metal that comes in."""

    name = forms.CharField(
        label="Name of the lot", max_length=80, help_text="As on its bag: supplier, month, form."
    )
    alloy = forms.ChoiceField(label="Alloy")
    grams = GramsField(label="Weight in g")
    supplier = forms.CharField(label="Supplier", max_length=80, required=False)
    nickel = forms.ChoiceField(
        label="Nickel, as the supplier's sheet says",
        choices=[("", "as the alloy is known for"), *Nickel.choices],
        required=False,
    )
    client = forms.ModelChoiceField(
        label="Client's own metal of",
        queryset=Client.objects.none(),
        required=False,
        empty_label="nobody: it is ours",
        help_text="A client's own metal is never pooled: it goes into that client's ring alone.",
    )
    scale = forms.CharField(label="Scale", max_length=40, required=False)

    def __init__(self, *args, **options):
        super().__init__(*args, **options)
        self.fields["alloy"].choices = [(name, name) for name in ALLOYS]
        self.fields["client"].queryset = Client.objects.filter(commissions__state="open").distinct()


class WeighedForm(PlainForm):
    """Anything that is weighed with a tare: the clean ``mg`` is net."""

    grams = GramsField(label="Weight in g, as the scale reads")
    tare = GramsField(
        label="Tare in g", required=False, help_text="The empty dish, where it was on the scale."
    )
    scale = forms.CharField(label="Scale", max_length=40, required=False)

    def clean(self):
        fields = super().clean()
        if "grams" in fields and "tare" in fields:
            fields["mg"] = fields["grams"] - fields["tare"]
            if fields["mg"] <= 0:
                self.add_error("grams", "The weight has to be more than the tare.")
        return fields

    def weighed(self) -> dict:
        """Net, tare and scale as the actions take them."""
        fields = self.cleaned_data
        return {"mg": fields["mg"], "tare_mg": fields["tare"], "scale": fields["scale"]}


class MoveForm(WeighedForm):
    """Metal that changes hands; weighed clean and dry, out and in on the same scale."""

    field_order = ("kind", "lot", "grams", "tare", "scale", "holder", "note")
    kind = forms.ChoiceField(label="What happens", widget=forms.RadioSelect)
    lot = forms.ModelChoiceField(label="Lot", queryset=MetalLot.objects.none())
    holder = forms.ModelChoiceField(
        label="Who takes it, when it is weighed out",
        queryset=Person.objects.filter(is_active=True),
        required=False,
        empty_label="myself",
    )
    note = forms.CharField(label="Note", max_length=200, required=False)

    def __init__(self, *args, kinds, lots, **options):
        super().__init__(*args, **options)
        self.fields["lot"].queryset = lots
        self.fields["kind"].choices = [(kind.value, kind.label) for kind in kinds]
        if MovementKind.ISSUE not in kinds:
            del self.fields["holder"]

    def facts(self) -> dict:
        """The keyword arguments of ``move_metal``."""
        names = ("lot", "kind", "note", "holder")
        return self.weighed() | {name: self.cleaned_data[name] for name in names if name in self.cleaned_data}


class BookForm(PlainForm):
    """A weight of the bench that is taken over into the account: only the lot is left to say."""

    weighing = forms.IntegerField(widget=forms.HiddenInput)
    lot = forms.ModelChoiceField(label="Lot", queryset=MetalLot.objects.none())

    def __init__(self, *args, lots, **options):
        super().__init__(*args, **options)
        self.fields["lot"].queryset = lots


class RefinerForm(PlainForm):
    """Filings and sweeps on their way to a refiner."""

    name = forms.CharField(label="Name of the lot", max_length=80, help_text="As on the parcel.")
    refiner = forms.CharField(label="Refiner", max_length=80)
    lots = forms.ModelMultipleChoiceField(
        label="Filings of these lots, all there are",
        queryset=MetalLot.objects.none(),
        widget=forms.CheckboxSelectMultiple,
    )
    sweeps_mg = GramsField(
        label="Sweeps that go with them, g",
        required=False,
        help_text="Tray, floor, filters and sludge as they weigh; what metal is in them the assay tells.",
    )
    scale = forms.CharField(label="Scale", max_length=40, required=False)

    def __init__(self, *args, lots, **options):
        super().__init__(*args, **options)
        self.fields["lots"].queryset = lots


class SettleForm(PlainForm):
    """What the refiner's paper says."""

    received_mg = GramsField(label="Weight as received, after the melt, g")
    assay_ppt = forms.IntegerField(
        label="Assay, parts per thousand",
        min_value=1,
        max_value=1000,
        widget=forms.TextInput(attrs={"inputmode": "numeric", "class": "short"}),
    )
    fine_mg = GramsField(label="Fine metal credited, g")
    fee = forms.CharField(label="Fee, as the paper says", max_length=80, required=False)
    note = forms.CharField(
        label="Where it went", max_length=200, required=False, help_text="Metal back as a new lot, or money."
    )


class ReasonForm(PlainForm):
    """Why a movement is put right."""

    reason = forms.CharField(label="Why is it put right?", max_length=200)


class CloseForm(PlainForm):
    """Why more is missing than is usual."""

    reason = forms.CharField(label="Why so much is missing", max_length=120, required=False)
