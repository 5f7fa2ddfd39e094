"""Words and drawings of the pages that join rooms."""

from __future__ import annotations

from functools import cache

from babel import Locale, UnknownLocaleError
from django import template
from django.urls import reverse
from django.utils.translation import get_language, ngettext
from django.utils.translation import gettext as _

from commissions.pages import dial as dials
from commissions.record.approving import PREFIX
from commissions.record.route import Stage, State, Turn

register = template.Library()

NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
OURS = {
    Turn.US: "With us",
    Turn.CLIENT: "With the client",
    Turn.SUPPLIER: "With a supplier",
    Turn.HOLD: "On hold",
}


@register.filter
def in_words(number):
    """Small numbers in words, as a sentence has them."""
    return NUMBERS[number] if 0 <= number < len(NUMBERS) else str(number)


@register.filter
def turn_words(turn):
    """Whose turn, as the studio reads it."""
    return OURS.get(turn, "")


@register.filter
def days(number):
    """Days waited, in words."""
    if number is None:
        return ""
    return "today" if number <= 0 else ngettext("%(n)s day", "%(n)s days", number) % {"n": number}


@register.filter
def days_in_hand(number):
    """How long there is until the day it is needed."""
    if number < 0:
        return f"{-number} days late."
    return "Needed today." if number == 0 else f"{number} days in hand."


@cache
def _country(code: str, language: str) -> str:
    try:
        return Locale.parse(language.replace("-", "_"), sep="_").territories.get(code, code)
    except (UnknownLocaleError, ValueError):
        return Locale("en").territories.get(code, code)


@register.filter
def country(code):
    """Name of a country from its ISO 3166 code, in the reader's language."""
    language = (get_language() or "en").split("-")[0]
    return _country(code, language)


@register.simple_tag
def small_dial(beads, stages=dials.STAGES):
    """The dial of a list row."""
    return dials.small(beads=beads, stages=stages)


@register.simple_tag
def dial(*, commission, beads=None, size=168, drawing=""):
    """The dial of a page."""
    route = commission.route
    done = route.index(commission.stage) if beads is None else beads
    closed = commission.state == State.COMPLETED
    words = _("%(done)s of %(all)s stages done; now: %(stage)s") % {
        "done": len(route) if closed else done,
        "all": len(route),
        "stage": Stage(commission.stage).label,
    }
    return dials.large(beads=done, words=words, size=size, drawing=drawing, closed=closed, stages=len(route))


@register.filter
def asks_approval(question) -> bool:
    """Whether a question is answered by approve, ask or not yet."""
    return question.key.startswith(PREFIX)


@register.filter
def client_address(question) -> str:
    """Where the client answers a question."""
    if question.key.startswith(PREFIX):
        return reverse("pages:client-answer", args=[question.commission.reference, question.pk])
    return question.client_path


@register.filter
def sentence(words: str) -> str:
    """The words with a full stop, where they have none."""
    words = (words or "").strip()
    return words if not words or words[-1] in ".!?…" else f"{words}."
