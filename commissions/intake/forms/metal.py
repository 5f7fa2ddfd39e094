"""The metal, and the skin that wears it."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.intake.forms.base import Asked, choice_words, lines
from studio.fields import Words


class Metal(Asked):
    """Metals they like."""

    slug = "metal"
    title = _("Which metals do you like?")
    short = _("Metal")
    why = _("Colour first; the alloy is ours to propose.")

    CHOICES = [
        ("platinum", _("Platinum")),
        ("red", _("Rose gold")),
        ("silver", _("Silver")),
        ("white", _("White gold")),
        ("yellow", _("Yellow gold")),
        ("mixed", _("Two metals together")),
        ("unknown", _("I don’t know")),
    ]
    likes = forms.MultipleChoiceField(
        label=_("Metals"),
        choices=CHOICES,
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": _("Choose at least one. “I don’t know” is one."),
        },
    )
    more = Words(label=_("Anything to add"), required=False, max_length=500)

    @classmethod
    def words(cls, answer):
        return lines(
            ", ".join(choice_words(cls.CHOICES, like) for like in answer.get("likes", [])),
            answer.get("more", ""),
        )


class Allergy(Asked):
    """Whether a metal hurts the wearer's skin; yes or not sure keeps nickel out."""

    slug = "allergy"
    title = _("Does the wearer’s skin react to any metal?")
    short = _("Allergy")
    why = _("Some white golds contain nickel. Unless the answer is no, we use none with nickel in it.")

    CHOICES = [("yes", _("Yes")), ("no", _("No")), ("unknown", _("Not sure"))]
    allergy = forms.ChoiceField(
        label=_("Reaction"),
        choices=CHOICES,
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose an answer. “Not sure” is one."),
        },
    )
    which = Words(
        label=_("Which metal, and what happens"),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    @classmethod
    def words(cls, answer):
        return lines(choice_words(cls.CHOICES, answer.get("allergy")), answer.get("which", ""))
