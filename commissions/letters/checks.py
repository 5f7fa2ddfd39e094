"""A surprise must not be given away by the house's own addresses."""

from __future__ import annotations

from django.conf import settings
from django.core.checks import Warning, register

from commissions.letters.discretion import discreet_words


@register()
def discreet_addresses(app_configs, **kwargs):
    """Letters about a surprise are held back while their sender or their link names the trade."""
    shown = {
        "RINGWRIGHT_DISCREET_NAME": settings.DISCREET_NAME,
        "RINGWRIGHT_DISCREET_FROM": settings.DISCREET_FROM,
        "RINGWRIGHT_DISCREET_ORIGIN": settings.DISCREET_ORIGIN,
    }
    return [
        Warning(
            f"Every letter about a surprise is held back: {value!r} names the trade.",
            hint=f"Set {name} to one that does not.",
            id="letters.W001",
        )
        for name, value in shown.items()
        if discreet_words(value)
    ]
