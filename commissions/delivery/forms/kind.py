"""Kind words, and what of them may be public."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.delivery.models import NameForm
from studio import clock
from studio.fields import DateBoxes, Words
from studio.forms import PlainForm


class KindForm(PlainForm):
    """A few words, how to be called, and what may be shown; nothing is chosen beforehand."""

    words = Words(
        label=_("Your words"),
        max_length=1500,
        widget=forms.Textarea(attrs={"rows": 6}),
        error_messages={"required": _("Write a few words, or press “Rather not”.")},
    )
    public = forms.ChoiceField(
        label=_("May we show them on our public page?"),
        choices=[("no", _("No, they are for the studio alone")), ("yes", _("Yes, as I choose below"))],
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose yes or no.")},
    )
    name_form = forms.ChoiceField(
        label=_("Under which name?"),
        choices=NameForm.choices,
        widget=forms.RadioSelect,
        required=False,
    )
    photos = forms.MultipleChoiceField(
        label=_("Photographs that may stand beside them"),
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("None is chosen beforehand. Each can be taken down by itself at any time."),
    )
    not_before = DateBoxes(
        label=_("Not before"),
        required=False,
        help_text=_("For example 25 12 2026. Empty means from today on."),
    )

    def __init__(self, *args, photos=(), **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["photos"].choices = [(str(photo.pk), str(photo)) for photo in photos]
        if not photos:
            del self.fields["photos"]

    def clean_not_before(self):
        day = self.cleaned_data.get("not_before")
        if day and day < clock.today():
            raise forms.ValidationError(_("This day has passed."))
        return day

    def clean(self):
        data = super().clean()
        if data.get("public") == "yes" and not data.get("name_form") and "name_form" not in self.errors:
            self.add_error("name_form", _("Choose how you want to be called; “No name” will do."))
        return data

    def facts(self) -> dict:
        """The keyword arguments of ``give_kind_words``."""
        data = self.cleaned_data
        return {
            "words": data["words"],
            "name_form": data["name_form"] or NameForm.NONE,
            "public": data["public"] == "yes",
            "photos": [int(pk) for pk in data.get("photos", [])],
            "not_before": data.get("not_before"),
        }
