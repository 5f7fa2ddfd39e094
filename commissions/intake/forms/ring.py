"""What it may cost, the stone, the look, what it must not be."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.intake import places
from commissions.intake.forms.base import REQUIRED, Asked, choice_words, lines
from studio import amounts
from studio.fields import Words


class Budget(Asked):
    """A range, never a price."""

    slug = "budget"
    title = _("What would you like to spend?")
    short = _("Budget")
    why = _("A range is enough. It is not a price: it tells us which stones are worth showing you.")

    CHOICES = [
        ("range", _("A range")),
        ("later", _("I would rather hear from you first")),
        ("unknown", _("I don’t know")),
    ]
    needed_if = ("currency", "low", "high")
    kind = forms.ChoiceField(
        label=_("Budget"), choices=CHOICES, widget=forms.RadioSelect, error_messages=REQUIRED
    )
    currency = forms.ChoiceField(label=_("Currency"), required=False)
    low = Words(
        label=_("From"),
        required=False,
        max_length=20,
        help_text=_("For example 6,000."),
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
    )
    high = Words(
        label=_("Up to"),
        required=False,
        max_length=20,
        widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["currency"].choices = places.currency_choices()

    def clean(self):
        data = super().clean()
        if data.get("kind") != "range":
            return {**data, "currency": "", "low": "", "high": ""} if data.get("kind") else data
        currency = data.get("currency")
        if not currency:
            self.add_error("currency", _now("Choose the currency of your range."))
        minor = {name: self._minor(name, data.get(name), currency) for name in ("low", "high")}
        if None not in minor.values() and minor["low"] > minor["high"]:
            self.add_error("high", _now("The upper end is below the lower end."))
        self.minor = minor
        return data

    def _minor(self, name: str, typed: str | None, currency: str) -> int | None:
        if not typed:
            self.add_error(name, _now("Write an amount."))
            return None
        try:
            minor = amounts.typed_to_minor(typed=typed, currency=currency or "EUR")
        except ValueError as error:
            self.add_error(name, _now("Write the amount in figures: %(why)s.") % {"why": error})
            return None
        if not 0 < minor < 10**11:
            self.add_error(name, _now("Write an amount above nothing."))
            return None
        return minor

    def answer(self):
        given = super().answer()
        if given["kind"] == "range":
            given |= {"low_minor": self.minor["low"], "high_minor": self.minor["high"]}
        return given

    @classmethod
    def words(cls, answer):
        if answer.get("kind") != "range":
            return choice_words(cls.CHOICES, answer.get("kind"))
        currency = answer["currency"]
        return _now("%(low)s to %(high)s") % {
            "low": amounts.written(minor=answer["low_minor"], currency=currency),
            "high": amounts.written(minor=answer["high_minor"], currency=currency),
        }

    @classmethod
    def note(cls, answer, *, today):
        if answer.get("kind") != "range":
            return ""
        return _now("We read your range as %(range)s.") % {"range": cls.words(answer)}


class StoneWish(Asked):
    """Where the centre stone comes from."""

    slug = "stone"
    title = _("What kind of stone should stand in the middle?")
    short = _("Centre stone")
    why = _("A natural stone and a laboratory-grown one are both real; they differ in origin and in price.")

    CHOICES = [
        ("natural", _("A natural stone")),
        ("laboratory-grown", _("A laboratory-grown stone")),
        ("own", _("A stone I have")),
        ("undecided", _("I don’t know yet")),
    ]
    intent = forms.ChoiceField(
        label=_("Stone"), choices=CHOICES, widget=forms.RadioSelect, error_messages=REQUIRED
    )
    more = Words(
        label=_("What you know of it"),
        required=False,
        max_length=1000,
        help_text=_("Kind, colour, size, a report; or how your own stone came to you and whether it is set."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @classmethod
    def words(cls, answer):
        return lines(choice_words(cls.CHOICES, answer.get("intent")), answer.get("more", ""))

    @classmethod
    def note(cls, answer, *, today):
        if answer.get("intent") == "own":
            return _now("Please do not post your stone yet. We first tell you how to pack and insure it.")
        return ""


class Look(Asked):
    """Shape and words for the look."""

    slug = "look"
    title = _("How should it look?")
    short = _("Look")
    why = _("Your own words help more than the right terms. Pictures come in a moment.")

    SHAPES = [
        ("cushion", _("Cushion")),
        ("emerald", _("Emerald cut")),
        ("marquise", _("Marquise")),
        ("oval", _("Oval")),
        ("pear", _("Pear")),
        ("princess", _("Square")),
        ("round", _("Round")),
        ("unknown", _("Something else, or I don’t know")),
    ]
    needed_if = ("shapes", "words_for_it")
    shapes = forms.MultipleChoiceField(
        label=_("Shapes you like"),
        choices=SHAPES,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text=_("Choose as many as you like."),
    )
    words_for_it = Words(
        label=_("Words for the look"),
        required=False,
        max_length=1500,
        help_text=_("For example: low, soft, a little old-fashioned, nothing that catches on wool."),
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def clean(self):
        data = super().clean()
        if not data.get("shapes") and not data.get("words_for_it") and not self.errors:
            self.add_error("shapes", _now("Choose a shape, or write a few words below."))
        return data

    @classmethod
    def words(cls, answer):
        shapes = ", ".join(choice_words(cls.SHAPES, shape) for shape in answer.get("shapes", []))
        return lines(shapes, answer.get("words_for_it", ""))


class Dislikes(Asked):
    """What it must not be."""

    slug = "dislikes"
    title = _("What should it not be?")
    short = _("Not this")
    why = _(
        "What you dislike saves more drawings than what you like. Anything that would spoil it belongs here."
    )

    needed_if = ("dislikes", "breakers", "nothing")
    dislikes = Words(
        label=_("What you do not like"),
        required=False,
        max_length=1500,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    breakers = Words(
        label=_("What would make you say no"),
        required=False,
        max_length=1500,
        help_text=_("For example: it must fit flat against a straight wedding band."),
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    nothing = forms.BooleanField(label=_("Nothing comes to mind"), required=False)

    def clean(self):
        data = super().clean()
        said = data.get("dislikes") or data.get("breakers")
        if not said and not data.get("nothing") and not self.errors:
            self.add_error("dislikes", _now("Write what you do not like, or tick “Nothing comes to mind”."))
        if said:
            data["nothing"] = False
        return data

    @classmethod
    def words(cls, answer):
        if answer.get("nothing"):
            return _now("Nothing comes to mind")
        refuse = answer.get("breakers", "")
        return lines(
            answer.get("dislikes", ""), _now("Would say no to: %(what)s") % {"what": refuse} if refuse else ""
        )
