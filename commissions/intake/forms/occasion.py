"""When it is for, who must not know, how we may reach you, where it goes."""

from __future__ import annotations

import datetime
import re

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.intake import places
from commissions.intake.forms.base import REQUIRED, Asked, choice_words, lines
from studio import clock
from studio.fields import DateBoxes, Words

USUAL_WEEKS = (6, 12)
"""How long a ring takes as a rule, from the first drawing to the hand: common practice, a range we state."""

SHORT_WEEKS = 8


class Occasion(Asked):
    """What the ring is for."""

    slug = "occasion"
    title = _("What is the ring for?")
    short = _("Occasion")
    why = _("It tells us what the day means, and what may be said aloud.")

    CHOICES = [
        ("anniversary", _("An anniversary")),
        ("engagement", _("An engagement")),
        ("myself", _("A ring for myself")),
        ("remembrance", _("To remember someone")),
        ("wedding", _("A wedding")),
        ("other", _("Something else")),
        ("unsaid", _("I would rather not say")),
    ]
    occasion = forms.ChoiceField(
        label=_("Occasion"),
        choices=CHOICES,
        widget=forms.RadioSelect,
        error_messages={"required": _("Choose an answer. “I would rather not say” is one.")},
    )
    more = Words(
        label=_("Anything you would like us to know about it"),
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
    )

    @classmethod
    def words(cls, answer):
        return lines(choice_words(cls.CHOICES, answer.get("occasion")), answer.get("more", ""))


class NeededBy(Asked):
    """The day it is needed."""

    slug = "date"
    title = _("Is there a day it is needed by?")
    short = _("Needed by")
    why = _("Most rings take 6 to 12 weeks from the first drawing. A fixed day decides what we can promise.")

    CHOICES = [
        ("day", _("Yes, by this day")),
        ("open", _("No fixed day")),
        ("unknown", _("I don’t know yet")),
    ]
    needed_if = ("on",)
    when = forms.ChoiceField(
        label=_("Day"), choices=CHOICES, widget=forms.RadioSelect, error_messages=REQUIRED
    )
    on = DateBoxes(
        label=_("The day"), required=False, help_text=_("For example 27 3 2027. The month may be a word.")
    )

    def clean(self):
        data = super().clean()
        if data.get("when") != "day":
            data["on"] = None
        elif "on" in data and not data["on"]:
            self.add_error("on", _now("Write the day, or choose another answer."))
        elif data.get("on") and data["on"] <= clock.today():
            self.add_error("on", _now("This day has passed. Write a day that is still to come."))
        elif data.get("on") and data["on"].year > clock.today().year + 5:
            self.add_error("on", _now("That is more than five years away. Is the year right?"))
        return data

    def answer(self):
        return {
            **super().answer(),
            "on": self.cleaned_data["on"].isoformat() if self.cleaned_data["on"] else "",
        }

    @classmethod
    def words(cls, answer):
        if answer.get("on"):
            return places.day_words(answer["on"])
        return choice_words(cls.CHOICES, answer.get("when"))

    @classmethod
    def note(cls, answer, *, today):
        if not answer.get("on"):
            return ""
        day = places.day_words(answer["on"])
        weeks = (datetime.date.fromisoformat(answer["on"]) - today).days // 7
        if weeks < SHORT_WEEKS:
            return _now(
                "%(day)s is %(weeks)s whole weeks away. Most rings take 6 to 12 weeks, so this may be short: "
                "we will say plainly what can be done by then."
            ) % {"day": day, "weeks": weeks}
        if weeks < USUAL_WEEKS[1]:
            return _now(
                "%(day)s is %(weeks)s weeks away. Most rings take 6 to 12 weeks: it can be done if the "
                "design is settled without long pauses."
            ) % {"day": day, "weeks": weeks}
        return _now("%(day)s is %(weeks)s weeks away. That is comfortable for most rings.") % {
            "day": day,
            "weeks": weeks,
        }


class Surprise(Asked):
    """Whether the wearer must not learn of it."""

    slug = "surprise"
    title = _("Is it a surprise?")
    short = _("Surprise")
    why = _("If it is, our letters use neutral words, show no picture and no sum, and nobody telephones.")

    CHOICES = [
        ("yes", _("Yes: the person who will wear it must not learn of it")),
        ("no", _("No, they know")),
        ("self", _("I will wear it myself")),
    ]
    surprise = forms.ChoiceField(
        label=_("Surprise"),
        choices=CHOICES,
        widget=forms.RadioSelect,
        error_messages={
            "required": _("Choose an answer, so that we do not give anything away."),
        },
    )

    @classmethod
    def words(cls, answer):
        return choice_words(cls.CHOICES, answer.get("surprise"))


class Contact(Asked):
    """The ways that are allowed, and when."""

    slug = "contact"
    title = _("How may we reach you?")
    short = _("How we may reach you")
    why = _(
        "We use these ways and no others. We never leave a voice message and never send post without asking."
    )

    WAYS = [("email", _("E-mail")), ("text", _("Text message")), ("call", _("A call"))]
    HOURS = [
        ("morning", _("Weekday mornings")),
        ("afternoon", _("Weekday afternoons")),
        ("evening", _("Weekday evenings")),
        ("weekend", _("Weekends")),
        ("any", _("Any time")),
    ]
    needed_if = ("phone",)
    ways = forms.MultipleChoiceField(
        label=_("Ways you allow"),
        choices=WAYS,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": _("Choose at least one way.")},
    )
    phone = Words(
        label=_("Telephone number"),
        required=False,
        max_length=32,
        help_text=_(
            "Only if you allow a call or a text message. With its country, for example +44 20 7946 0000."
        ),
        widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "tel", "inputmode": "tel"}),
    )
    hours = forms.MultipleChoiceField(
        label=_("When"),
        choices=HOURS,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    beware = Words(
        label=_("Anything we must not do"),
        required=False,
        max_length=500,
        help_text=_("For example: we share a mailbox on Sundays."),
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def clean_phone(self):
        """An international number in E.164, such as +442079460000."""
        typed = self.cleaned_data["phone"]
        if not typed:
            return ""
        plain = re.sub(r"[\s().\-/]", "", typed)
        plain = "+" + plain[2:] if plain.startswith("00") else plain
        if not re.fullmatch(r"\+[1-9]\d{6,14}", plain):
            raise forms.ValidationError(_now("Begin with + and the country, for example +44 20 7946 0000."))
        return plain

    def clean(self):
        data = super().clean()
        speaks = {"text", "call"} & set(data.get("ways", []))
        if speaks and not data.get("phone") and "phone" not in self.errors:
            self.add_error("phone", _now("Write the number we may use, or allow e-mail alone."))
        return data

    @classmethod
    def words(cls, answer):
        ways = ", ".join(choice_words(cls.WAYS, way) for way in answer.get("ways", []))
        hours = ", ".join(choice_words(cls.HOURS, hour) for hour in answer.get("hours", []))
        return lines(ways, answer.get("phone", ""), hours, answer.get("beware", ""))


class Destination(Asked):
    """The country it is sent to."""

    slug = "destination"
    title = _("Which country will the ring go to?")
    short = _("Destination")
    why = _("Duty and tax depend on it. It need not be the country you live in.")

    country = forms.ChoiceField(label=_("Country"), error_messages={"required": _("Choose a country.")})

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["country"].choices = places.country_choices(unknown=_now("I don’t know yet"))

    @classmethod
    def words(cls, answer):
        code = answer.get("country", "")
        return _now("Not known yet") if code == "XX" else places.country_name(code)
