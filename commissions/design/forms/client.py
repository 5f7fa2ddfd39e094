"""What is said about a design."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.record.forms import HoldPoints
from studio.forms import PlainForm


class ClientAnswer(PlainForm):
    """What a client says of a design."""

    words = forms.CharField(
        label=_("Your words"),
        max_length=5000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Needed when you ask for something or are not sure yet."),
    )
    holds = HoldPoints()


class Reason(PlainForm):
    """Why a new revision is started."""

    reason = forms.CharField(label="Why a new revision", max_length=200)


class Two(PlainForm):
    """Which two revisions are held against each other; the last two where nobody says."""

    left = forms.ChoiceField(label=_("Left"))
    right = forms.ChoiceField(label=_("Right"))

    def __init__(self, *args, letters: list[str], **kwargs):
        first = letters[-2] if len(letters) > 1 else ""
        super().__init__(*args, initial={"left": first, "right": letters[-1] if letters else ""}, **kwargs)
        for name in ("left", "right"):
            self.fields[name].choices = [
                (letter, _now("Revision %(letter)s") % {"letter": letter}) for letter in letters
            ]
            self.fields[name].error_messages["invalid_choice"] = _("There is no such revision.")

    def clean(self):
        data = super().clean()
        if data.get("left") and data.get("left") == data.get("right"):
            self.add_error("right", _now("Choose two different revisions."))
        return data

    def pair(self) -> tuple[str, str]:
        """The two letters."""
        said = self.cleaned_data if self.is_bound else self.initial
        return said["left"], said["right"]
