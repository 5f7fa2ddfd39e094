"""What is said about a place on a drawing."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.design.models import View
from commissions.design.places import Place
from gemcalc.drawing.scene import Box
from studio.fields import Words
from studio.forms import PlainForm

NUDGE_MM = 0.2
"""How far one press of an arrow moves the mark. Our own figure: half a claw's thickness is about 0.5 mm."""
NUDGES = {"left": (-NUDGE_MM, 0.0), "up": (0.0, NUDGE_MM), "down": (0.0, -NUDGE_MM), "right": (NUDGE_MM, 0.0)}


class PlaceSelect(forms.Select):
    """A choice of named places that tells a script where each of them is."""

    places: dict[str, Place] = {}

    def create_option(self, name, value, *args, **kwargs):
        option = super().create_option(name, value, *args, **kwargs)
        place = self.places.get(str(value))
        if place:
            option["attrs"] |= {"data-x": f"{place.x:.3f}", "data-y": f"{place.y:.3f}"}
        return option


class NewComment(PlainForm):
    """
    A comment and its place: tapped, chosen by name, or nudged there.

    ``x`` and ``y`` are where the mark stands; ``marked`` is the named place they were taken from, so that
    another name chosen afterwards counts for more than an older mark.
    """

    view = forms.ChoiceField(choices=View.choices, widget=forms.HiddenInput)
    x = forms.FloatField(required=False, widget=forms.HiddenInput)
    y = forms.FloatField(required=False, widget=forms.HiddenInput)
    marked = forms.CharField(required=False, max_length=24, widget=forms.HiddenInput)
    place = forms.ChoiceField(
        label=_("Where"),
        required=False,
        widget=PlaceSelect,
        help_text=_("Tap the drawing, or choose a place by its name."),
    )
    words = Words(
        label=_("What you would like to say about it"),
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": _("Write what you would like to say about this place.")},
    )

    def __init__(self, *args, places: list[Place], box: Box, **kwargs):
        super().__init__(*args, **kwargs)
        self.places, self.box = {place.key: place for place in places}, box
        chooser = self.fields["place"]
        chooser.needed_if = True  # not optional: a tap answers it as well
        chooser.choices = [
            ("", _now("Where the mark stands")),
            *((place.key, place.words.capitalize()) for place in places),
        ]
        chooser.widget.places = self.places
        chooser.error_messages["invalid_choice"] = _("Choose a place of this drawing.")

    def clean(self):
        data = super().clean()
        chosen = self.places.get(data.get("place") or "")
        if chosen and (data.get("marked") != chosen.key or data.get("x") is None or data.get("y") is None):
            data |= {"x": chosen.x, "y": chosen.y, "marked": chosen.key}
        x, y = data.get("x"), data.get("y")
        if x is None or y is None:
            if "place" not in self.errors:
                self.add_error("place", _now("Tap the place on the drawing, or choose it by name."))
        elif not (self.box[0] <= x <= self.box[2] and self.box[1] <= y <= self.box[3]):
            self.add_error("place", _now("The mark lies outside the drawing. Put it on the ring."))
        return data

    def mark(self) -> tuple[float, float] | None:
        """Where the mark stands, mm, as far as it is known."""
        data = self.cleaned_data if self.is_bound and hasattr(self, "cleaned_data") else {}
        x, y = data.get("x"), data.get("y")
        return (x, y) if x is not None and y is not None else None


class Reopen(PlainForm):
    """Why a comment is taken up again."""

    words = Words(label=_("What is still open"), max_length=2000, widget=forms.Textarea(attrs={"rows": 3}))


class CommentAnswer(PlainForm):
    """The studio's answer to a comment."""

    words = Words(
        label="Your answer", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    words.needed_if = True  # only closing needs no words
