"""Forms of the metal account."""

from __future__ import annotations

from django import forms

from commissions.bench.forms.fields import GramsField
from commissions.bench.models import MetalLot, MovementKind
from commissions.bench.models.metal import Nickel
from commissions.intake.models import Client
from gemcalc.alloys import ALLOYS
from studio.forms import PlainForm

OF_JOB = [MovementKind.ISSUE, MovementKind.RETURN, MovementKind.FILINGS, MovementKind.PIECE]
OF_LOT = [MovementKind.IN, MovementKind.REFINE_OUT, MovementKind.REFINE_BACK, MovementKind.CLIENT_BACK]


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


class MoveForm(PlainForm):
    """Metal that changes hands; weighed clean and dry, out and in on the same scale."""

    lot = forms.ModelChoiceField(label="Lot", queryset=MetalLot.objects.none())
    kind = forms.ChoiceField(label="What happens", widget=forms.RadioSelect)
    grams = GramsField(label="Weight in g")
    scale = forms.CharField(label="Scale", max_length=40, required=False)
    note = forms.CharField(
        label="Note", max_length=200, required=False, help_text="From the refiner: assay, recovery and fee."
    )

    def __init__(self, *args, kinds, lots, **options):
        super().__init__(*args, **options)
        self.fields["lot"].queryset = lots
        self.fields["kind"].choices = [(kind.value, kind.label) for kind in kinds]


class ReasonForm(PlainForm):
    """Why a movement is put right."""

    reason = forms.CharField(label="Why is it put right?", max_length=200)
