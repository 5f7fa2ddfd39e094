"""What is typed about a stone on approval, and about one that is broken or lost."""

from __future__ import annotations

from django import forms

from commissions.sourcing.forms.stones import Carats
from commissions.sourcing.models import StoneState
from studio.fields import DATE_FORMATS
from studio.forms import PlainForm


class ExtendForm(PlainForm):
    """Longer on approval, as the supplier agreed in writing."""

    until = forms.DateField(
        label="Goes back by", input_formats=DATE_FORMATS, help_text="For example 29 9 2026"
    )
    reason = forms.CharField(
        label="Where the supplier agreed to it", max_length=200, help_text="Such as their letter of a day."
    )

    def facts(self) -> dict:
        """The keyword arguments of ``extend_approval``."""
        return dict(self.cleaned_data)


class BuyForm(PlainForm):
    """Bought: the supplier's invoice."""

    words = forms.CharField(label="The supplier's invoice", max_length=200, help_text="Its number and day.")

    def facts(self) -> dict:
        """The keyword arguments of ``buy_stone``."""
        return dict(self.cleaned_data)


class ReturnForm(PlainForm):
    """Sent back: weighed and read once more, so that a chip that is found later can be answered."""

    inscription = forms.CharField(
        label="Inscription on the girdle",
        max_length=40,
        required=False,
        help_text="Read it once more before the bag is closed.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
    )
    weight = Carats(label="Weight on the scale, carat, three decimals")
    seal = forms.CharField(label="Number of the sealed bag", max_length=40, required=False)

    def facts(self) -> dict:
        """The keyword arguments of ``send_back``."""
        data = self.cleaned_data
        return {
            "inscription_typed": data["inscription"],
            "weight_mct": int(data["weight"] * 1000),
            "seal": data["seal"],
        }


class WriteOffForm(PlainForm):
    """Broken or lost, and what happened."""

    kind = forms.ChoiceField(
        label="What became of it",
        choices=[(state.value, state.label) for state in (StoneState.BROKEN, StoneState.LOST)],
        widget=forms.RadioSelect,
        error_messages={"required": "Say whether it is broken or lost."},
    )
    reason = forms.CharField(
        label="What happened", max_length=200, error_messages={"required": "Say what happened."}
    )
