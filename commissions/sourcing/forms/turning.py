"""What is typed on the plot."""

from __future__ import annotations

from decimal import Decimal

from django import forms

from commissions.design.forms import Millimetres
from commissions.sourcing.forms.stones import hundredths
from commissions.sourcing.models import Look, Stone
from commissions.sourcing.queries.turning import outline_of_stone
from commissions.sourcing.turning import steps_of
from gemcalc.errors import BadInput
from gemcalc.marks import MARK_KINDS, angle_from_clock
from studio.forms import PlainForm


class MarkForm(PlainForm):
    """One mark: what, where, how large, how striking."""

    kind = forms.ChoiceField(
        label="What it is", choices=[(key, kind.words) for key, kind in MARK_KINDS.items()]
    )
    position = forms.CharField(
        label="Clock position",
        max_length=20,
        help_text="Twelve o'clock is up on the plot. Tap the plot, or write 4, 4½ or 4:20.",
        widget=forms.TextInput(attrs={"class": "short", "autocomplete": "off"}),
    )
    distance = forms.DecimalField(
        label="Way from the centre to the girdle, %",
        min_value=Decimal(0),
        max_value=Decimal(100),
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
        help_text="0 is the centre, 100 the girdle.",
    )
    size = Millimetres(label="Size, mm", min_value=Decimal("0.01"), max_value=Decimal(5))
    look = forms.TypedChoiceField(
        label="How it looks", choices=Look.choices, coerce=int, initial=Look.PLAIN.value
    )
    surface = forms.BooleanField(label="It reaches the surface", required=False)
    note = forms.CharField(label="Note", max_length=200, required=False)

    def clean_position(self):
        typed = self.cleaned_data["position"]
        try:
            angle_from_clock(clock=typed)
        except BadInput as error:
            raise forms.ValidationError(f"This {error.message}.") from None
        return typed

    def facts(self) -> dict:
        """The keyword arguments of ``plot_mark``."""
        data = self.cleaned_data
        return {
            "kind": data["kind"],
            "position": data["position"],
            "out_permille": round(data["distance"] * 10),
            "size_hmm": hundredths(data["size"]),
            "look": data["look"],
            "surface": data["surface"],
            "note": data["note"],
        }


class NorthForm(PlainForm):
    """How twelve o'clock of the plot is found on the stone."""

    north = forms.CharField(
        label="Twelve o'clock on the stone is",
        max_length=120,
        help_text="What the setter looks for under the loupe: where the inscription begins, the chip at the girdle.",
        error_messages={"required": "Say what shows twelve o'clock on the stone."},
    )


class TurnForm(PlainForm):
    """How the stone may be turned, and how far a claw reaches over it."""

    step = forms.ChoiceField(label="The stone may be turned", widget=forms.RadioSelect)
    reach = Millimetres(
        label="Reach of a claw over the girdle, mm", min_value=Decimal("0.05"), max_value=Decimal(2)
    )

    def __init__(self, *args, stone: Stone, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["step"].choices = [
            (str(step or 0), words) for step, words in steps_of(outline=outline_of_stone(stone=stone))
        ]

    def facts(self) -> dict:
        """The keyword arguments of ``turn_stone``."""
        data = self.cleaned_data
        return {"step_deg": int(data["step"]) or None, "reach_hmm": hundredths(data["reach"])}
