"""What every question of the brief has in common."""

from __future__ import annotations

import datetime

from django import forms
from django.utils.translation import gettext_lazy as _

from commissions.intake.models import Brief
from studio.forms import PlainForm


class Asked(PlainForm):
    """
    One question, one page: its boxes, its words, and how its answer reads.

    ``slug`` names it in the address and in the stored answers. ``title`` is the question itself, ``why`` says
    what the answer is for. A box that no person sees is left empty by a person (``website``).
    """

    slug = ""
    title = ""
    why = ""
    short = ""
    error_css_class = "wrong"

    website = forms.CharField(
        required=False, widget=forms.TextInput(attrs={"tabindex": "-1", "autocomplete": "off"})
    )

    needed_if: tuple[str, ...] = ()
    """Boxes that another answer on the page makes necessary: they are not marked as optional."""

    def __init__(self, *args, brief: Brief | None = None, **kwargs):
        self.brief = brief
        super().__init__(*args, **kwargs)
        for name in self.needed_if:
            self.fields[name].needed_if = True

    @property
    def shown(self) -> list:
        """The boxes a person sees."""
        return [box for box in self.visible_fields() if box.name != "website"]

    def answer(self) -> dict:
        """The answer as it is stored: plain JSON."""
        given = {name: value for name, value in self.cleaned_data.items() if name != "website"}
        return {
            name: value.isoformat() if isinstance(value, datetime.date) else value
            for name, value in given.items()
        }

    @classmethod
    def words(cls, answer: dict) -> str:
        """
        The answer in words, for the check page, the copy and the studio; lines where there are several.

        A question whose boxes are codes says them in words of its own; plain text stands as it was written.
        """
        return lines(*(str(value) for value in answer.values() if value))

    @classmethod
    def note(cls, answer: dict, *, today: datetime.date) -> str:
        """How we read the answer, or what it means for the work; empty where there is nothing to say."""
        return ""


def choice_words(choices, value: str) -> str:
    """Words of one choice."""
    return str(dict(choices).get(value, ""))


def lines(*parts: str) -> str:
    """The parts that say something, one a line."""
    return "\n".join(str(part) for part in parts if part)


REQUIRED = {"required": _("Choose an answer. “I don’t know” is one.")}
