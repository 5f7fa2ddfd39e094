"""Template words of the intake."""

from django import template
from django.utils.safestring import mark_safe

from commissions.intake import specimen
from commissions.intake.forms import BY_SLUG

register = template.Library()


@register.filter
def question_short(slug: str) -> str:
    """Short name of a question."""
    return BY_SLUG[slug].short


@register.inclusion_tag("intake/specimen.html")
def specimen_dial():
    """The plan on the front page, within its ring of beads."""
    # Shapes from our own figures; nothing a person typed is in them.
    return {"beads": specimen.beads(), "drawing": mark_safe(specimen.drawing())}  # noqa: S308


@register.filter
def needed_words(brief) -> str:
    """The day a brief's ring is needed by, in words."""
    return BY_SLUG["date"].words(brief.answer("date"))
