"""Who asks, and where the answer goes."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.intake import places
from commissions.intake.forms.base import Asked, lines
from studio.fields import Words
from studio.people.forms.client import known_zone


class Name(Asked):
    """Name and country of residence."""

    slug = "name"
    title = _("Who are you?")
    short = _("You")
    why = _(
        "Your name as you would like to be written to, and the country you live in, whose law protects you."
    )

    full_name = Words(
        label=_("Full name"),
        max_length=120,
        error_messages={"required": _("Write your name.")},
        widget=forms.TextInput(attrs={"autocomplete": "name", "spellcheck": "false"}),
    )
    country = forms.ChoiceField(
        label=_("Country you live in"),
        error_messages={"required": _("Choose the country you live in.")},
        widget=forms.Select(attrs={"autocomplete": "country"}),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        self.fields["country"].choices = places.country_choices()

    @classmethod
    def words(cls, answer):
        return lines(answer.get("full_name", ""), places.country_name(answer.get("country", "")))


class Email(Asked):
    """The address of the answer, and the zone in which times are told."""

    slug = "email"
    title = _("Where shall we write to?")
    short = _("E-mail")
    why = _("Our answer goes there. We check it with a code before your brief is sent.")

    email = forms.EmailField(
        label=_("E-mail address"),
        max_length=254,
        error_messages={
            "required": _("Write your e-mail address."),
            "invalid": _("Write it like name@example.com."),
        },
        widget=forms.EmailInput(
            attrs={"autocomplete": "email", "spellcheck": "false", "autocapitalize": "off"}
        ),
    )
    zone = forms.CharField(required=False, max_length=48, widget=forms.HiddenInput(attrs={"data-zone": ""}))

    place = forms.ChoiceField(
        label=_("Your time"),
        required=False,
        help_text=_("So that dates and hours in our letters are yours."),
    )

    def __init__(self, *args, **kwargs):
        super().__init__(*args, **kwargs)
        zones = places.zones_of(self.brief.answer("name").get("country", "")) if self.brief else []
        if len(zones) > 1:
            self.fields["place"].choices = [("", ""), *((zone, zone.replace("_", " ")) for zone in zones)]
        else:
            del self.fields["place"]
        self.only_zone = zones[0] if len(zones) == 1 else ""

    def answer(self):
        given = super().answer()
        place = given.pop("place", "")
        return {**given, "zone": place or given["zone"] or self.only_zone}

    def clean_email(self):
        return self.cleaned_data["email"].strip().lower()

    def clean_zone(self):
        return known_zone(self.cleaned_data["zone"])

    @classmethod
    def words(cls, answer):
        return answer.get("email", "")

    @classmethod
    def note(cls, answer, *, today):
        address = answer.get("email", "")
        return _now("Your answer goes to %(address)s.") % {"address": address} if address else ""
