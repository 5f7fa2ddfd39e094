"""What a client writes about the price."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.design.confirming import wrong_engraving, wrong_size
from studio.forms import PlainForm


class Ask(PlainForm):
    """A question or a *not yet*, in the client's words."""

    words = forms.CharField(
        label=_("Your words"),
        max_length=5000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text=_("Ask anything about the price, the stones or the dates, or tell us what holds you back."),
    )


class Agree(PlainForm):
    """Size and engraving typed again, and the consent to agree on a page."""

    size = forms.CharField(
        label=_("Type the ring size again"),
        max_length=30,
        widget=forms.TextInput(attrs={"autocomplete": "off", "class": "short", "autocapitalize": "off"}),
        error_messages={"required": _("Type the ring size as it stands above.")},
    )
    engraving = forms.CharField(
        label=_("Type the engraving again, letter by letter"),
        max_length=120,
        strip=False,
        widget=forms.TextInput(
            attrs={
                "autocomplete": "off",
                "autocapitalize": "off",
                "autocorrect": "off",
                "spellcheck": "false",
            }
        ),
        error_messages={"required": _("Type the engraving as it stands above.")},
    )
    consent = forms.BooleanField(
        label=_(
            "I agree here on this page instead of on paper, and I have read the drawing, the price, the dates "
            "and the terms above"
        ),
        error_messages={"required": _("Tick this if you wish to agree on this page.")},
    )

    def __init__(self, *args, bundle: dict, **kwargs):
        super().__init__(*args, **kwargs)
        self.size_mm, self.engraved = bundle["size_mm"], bundle["engraving"]
        if self.size_mm is None:
            del self.fields["size"]
        else:
            self.fields["size"].help_text = _(
                "The number in mm round the inside, or the local size with its country: US or UK."
            )
        if not self.engraved:
            del self.fields["engraving"]

    def clean_size(self):
        typed = self.cleaned_data["size"]
        wrong = wrong_size(typed=typed, circumference_mm=self.size_mm)
        if wrong:
            raise forms.ValidationError(wrong)
        return typed

    def clean_engraving(self):
        typed = self.cleaned_data["engraving"]
        wrong = wrong_engraving(typed=typed, engraving=self.engraved)
        if wrong:
            raise forms.ValidationError(wrong)
        return typed

    def confirmed(self) -> dict[str, str]:
        """What was typed again, as it was typed."""
        return {name: self.cleaned_data[name] for name in ("size", "engraving") if name in self.cleaned_data}
