"""The inscription read again, and what is said of treatments."""

from __future__ import annotations

from django import forms

from commissions.delivery.models import HowRead, Treated
from studio.fields import Words
from studio.forms import PlainForm


class ReadAgain(PlainForm):
    """What is read on the girdle after setting; nobody is shown what was read before."""

    how = forms.ChoiceField(
        label="How",
        choices=HowRead.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Say how its identity was looked at."},
    )
    typed = forms.CharField(
        label="What you read, letter by letter",
        max_length=60,
        required=False,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
    )
    agrees = forms.ChoiceField(
        label="Compared with the plot",
        required=False,
        choices=[("", "Not compared"), ("yes", "The inclusions agree"), ("no", "They do not agree")],
    )
    words = Words(label="Words", required=False, max_length=300, widget=forms.Textarea(attrs={"rows": 2}))

    def facts(self) -> dict:
        """The keyword arguments of ``read_again``."""
        data = self.cleaned_data
        return {
            "how": data["how"],
            "typed": data["typed"],
            "agrees": {"yes": True, "no": False}.get(data["agrees"]),
            "words": data["words"],
        }


class Disclose(PlainForm):
    """What the papers say of treatments of the centre."""

    treated = forms.ChoiceField(
        label="Treatments of the centre",
        choices=Treated.choices,
        widget=forms.RadioSelect,
        error_messages={"required": "Say what is known; “Not known” is an answer."},
    )
    words = forms.CharField(
        label="Which treatment",
        max_length=200,
        required=False,
        help_text="As the report names it, for example: laser-drilled, clarity filled, heated.",
    )
    care_words = forms.CharField(
        label="What the wearer has to mind because of it", max_length=200, required=False
    )
    source = forms.CharField(
        label="Where it is read",
        max_length=160,
        help_text="The report with its number, the supplier’s invoice, an examination of ours.",
        error_messages={"required": "Say where it is read."},
    )

    def clean(self):
        data = super().clean()
        if data.get("treated") == Treated.TREATED and not data.get("words") and "words" not in self.errors:
            self.add_error("words", "Name the treatment.")
        return data
