"""Letters in an engraving that look like others: what is engraved has to be what everybody read."""

from __future__ import annotations

import unicodedata

from django.utils.translation import gettext as _

SCRIPTS = ("LATIN", "CYRILLIC", "GREEK", "ARMENIAN", "CHEROKEE")
"""Scripts whose letters are taken for each other. Source: Unicode Technical Standard 39, mixed-script detection."""


def look_alike(text: str) -> str:
    """
    Words for what is doubtful in *text*, or nothing.

    Letters of two scripts that look alike, letters that only look like plain ones (full width, mathematical),
    and characters that cannot be seen are named with their place.

    >>> look_alike("M & J 2026")
    ''
    >>> look_alike("M\\u0430rie")
    'The letters are of two alphabets that look alike: number 2 is cyrillic small letter a. Type it again.'
    """
    scripts: dict[str, int] = {}
    for place, letter in enumerate(text, start=1):
        name = unicodedata.name(letter, "")
        if unicodedata.category(letter) in ("Cf", "Cc", "Co", "Cn", "Zl", "Zp"):
            return _("Character number %(place)s cannot be seen. Take it out.") % {"place": place}
        if letter.isalpha() and unicodedata.normalize("NFKC", letter) != letter:
            return _("Letter number %(place)s only looks like a plain letter (%(name)s). Type it again.") % {
                "place": place,
                "name": name.lower(),
            }
        script = name.partition(" ")[0]
        if script in SCRIPTS:
            scripts.setdefault(script, place)
    if len(scripts) > 1:
        place = max(scripts.values())
        letter = text[place - 1]
        return _(
            "The letters are of two alphabets that look alike: number %(place)s is %(name)s. Type it again."
        ) % {"place": place, "name": unicodedata.name(letter).lower()}
    return ""
