"""Letters in an engraving that look like others: what is engraved has to be what everybody read."""

from __future__ import annotations

import unicodedata

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
    'The letters are of two alphabets that look alike: number 2 is CYRILLIC SMALL LETTER A. Type it again.'
    """
    scripts: dict[str, int] = {}
    for place, letter in enumerate(text, start=1):
        name = unicodedata.name(letter, "")
        if unicodedata.category(letter) in ("Cf", "Cc", "Co", "Cn", "Zl", "Zp"):
            return f"Character number {place} cannot be seen. Take it out."
        if letter.isalpha() and unicodedata.normalize("NFKC", letter) != letter:
            return f"Letter number {place} only looks like a plain letter ({name}). Type it again."
        script = name.partition(" ")[0]
        if script in SCRIPTS:
            scripts.setdefault(script, place)
    if len(scripts) > 1:
        place = max(scripts.values())
        letter = text[place - 1]
        return (
            f"The letters are of two alphabets that look alike: number {place} is "
            f"{unicodedata.name(letter)}. Type it again."
        )
    return ""
