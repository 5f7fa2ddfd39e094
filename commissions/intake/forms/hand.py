"""The hand that will wear it, and its size."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from commissions.intake.forms.base import REQUIRED, Asked, choice_words, lines
from gemcalc.errors import BadInput
from gemcalc.rings import RingSize, ring_of_circumference, ring_of_diameter, ring_of_size
from studio.fields import Words


class Hand(Asked):
    """Other rings, and what the hand does."""

    slug = "hand"
    title = _("What does the hand that wears it do?")
    short = _("The hand")
    why = _("Work, sport and other rings decide how high and how strong it should be.")

    WORK = [
        ("yes", _("Works with the hands")),
        ("gloves", _("Wears gloves at work")),
        ("sport", _("Climbs, lifts or rows")),
    ]
    does = forms.MultipleChoiceField(
        label=_("What is true"),
        choices=WORK,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    others = Words(
        label=_("Rings worn beside it"),
        required=False,
        max_length=500,
        help_text=_("For example: a plain wedding band on the same finger, 2 mm wide."),
        widget=forms.Textarea(attrs={"rows": 2}),
    )
    more = Words(
        label=_("Anything else about the hand"),
        required=False,
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    @classmethod
    def words(cls, answer):
        does = ", ".join(choice_words(cls.WORK, one) for one in answer.get("does", []))
        return lines(does, answer.get("others", ""), answer.get("more", "")) or _now("Nothing special")


class Size(Asked):
    """How the size is known, and what it is."""

    slug = "size"
    title = _("What do you know about the ring size?")
    short = _("Ring size")
    why = _("How you know it matters as much as the number. Nothing is made from a guess: we measure again.")

    ROUTES = [
        ("jeweller", _("A jeweller measured the finger")),
        ("sizer", _("I will use a ring gauge that you post to me")),
        ("borrowed", _("I can measure the inside of a ring that fits")),
        ("guess", _("It is a guess")),
        ("unknown", _("I don’t know it")),
    ]
    SYSTEMS = [
        ("", ""),
        ("uk", _("Letter, as in the UK, Ireland and Australia: M½")),
        ("us", _("Number, as in the US and Canada: 6 1/2")),
        ("iso", _("Round the inside in mm, as in Europe: 52.5")),
        ("diameter", _("Across the inside in mm: 16.8")),
        ("jp", _("Number, as in Japan: 12")),
        ("ch", _("Number, as in Switzerland and Italy: 13")),
    ]
    needed_if = ("size", "system", "sure")
    SURE = [("sure", _("Sure")), ("fairly", _("Fairly sure")), ("unsure", _("Not sure"))]

    route = forms.ChoiceField(
        label=_("How you know it"), choices=ROUTES, widget=forms.RadioSelect, error_messages=REQUIRED
    )
    size = Words(
        label=_("The size"),
        required=False,
        max_length=40,
        help_text=_("For example M½, 6 1/2 or 52,5."),
        widget=forms.TextInput(attrs={"class": "short", "autocomplete": "off"}),
    )
    system = forms.ChoiceField(label=_("What kind of size it is"), choices=SYSTEMS, required=False)
    sure = forms.ChoiceField(
        label=_("How sure you are"), choices=SURE, required=False, widget=forms.RadioSelect
    )
    finger = Words(label=_("Which finger of which hand"), required=False, max_length=80)

    def clean(self):
        data = super().clean()
        typed, system, route = data.get("size"), data.get("system"), data.get("route")
        if route in ("jeweller", "borrowed", "guess") and not typed and "size" not in self.errors:
            self.add_error("size", _now("Write the size, or choose “I don’t know it”."))
        if typed and not system and not self.errors:
            self.add_error(
                "system", _now("Choose what kind of size this is: the same number means different rings.")
            )
        if typed and route and not data.get("sure") and not self.errors:
            self.add_error("sure", _now("Choose how sure you are."))
        if typed and system and not self.errors:
            try:
                read_size(system=system, typed=typed)
            except BadInput as error:
                self.add_error("size", _now("We cannot read this size: it %(why)s.") % {"why": error.message})
        return data

    def answer(self):
        given = super().answer()
        if given["size"]:
            ring = read_size(system=given["system"], typed=given["size"])
            given["circumference_hundredths"] = round(ring.circumference_mm * 100)
        return given

    @classmethod
    def words(cls, answer):
        read = ""
        if answer.get("circumference_hundredths"):
            read = size_words(circumference_mm=answer["circumference_hundredths"] / 100)
        return lines(
            choice_words(cls.ROUTES, answer.get("route")),
            answer.get("size", "") and f"{answer['size']}: {read}",
            choice_words(cls.SURE, answer.get("sure")),
            answer.get("finger", ""),
        )

    @classmethod
    def note(cls, answer, *, today):
        if not answer.get("circumference_hundredths"):
            return ""
        return _now("We read %(typed)s as %(size)s.") % {
            "typed": answer["size"],
            "size": size_words(circumference_mm=answer["circumference_hundredths"] / 100),
        }


def read_size(*, system: str, typed: str) -> RingSize:
    """
    The ring a person means by *typed*, in one of the systems of :class:`Size`.

    Raises:
        BadInput: it cannot be read, or lies outside 30 to 90 mm round the inside.
    """
    if system == "diameter":
        plain = typed.lower().replace("mm", "").replace(",", ".").strip()
        try:
            diameter = float(plain)
        except ValueError:
            raise BadInput(_now("must be a number of millimetres, such as 16.8")) from None
        return ring_of_diameter(diameter_mm=diameter)
    return ring_of_size(system=system, size=typed)


def size_words(*, circumference_mm: float) -> str:
    """A size in the words that anybody can check: mm round the inside, with the names it has elsewhere."""
    ring = ring_of_circumference(circumference_mm=circumference_mm)
    return _now(
        "%(mm).1f mm round the inside, %(across).1f mm across (UK %(uk)s, US %(us)s, Europe %(iso)s)"
    ) % {
        "mm": ring.circumference_mm,
        "across": ring.diameter_mm,
        "uk": ring.uk_label,
        "us": ring.us_label,
        "iso": ring.iso.rpartition("-")[2],
    }
