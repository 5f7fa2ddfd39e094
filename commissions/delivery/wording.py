"""
How stones are named on papers.

Sources: ISO 18323 keeps the bare word *diamond* for natural ones, 16 CFR 23.12 wants the origin beside the
word; clipped forms of *laboratory-grown* are refused by both readings (trade press for the ISO). 16 CFR part 23
wants a treatment named that is not permanent, asks for special care or bears much on the value, and a weight in
decimals that are true to the last place.
"""

from __future__ import annotations

import re

_CLIPPED = re.compile(r"\b(?:lab[ -]?(?:grown|created|made)|lab[ -]diamonds?|cultured diamonds?|LGD)\b", re.I)
_BARE = re.compile(r"(?<!laboratory-grown )(?<!laboratory-created )\bdiamonds?\b", re.I)
_FRACTION = re.compile(r"\b\d+\s?/\s?\d+\s?(?:ct|carats?)\b|[¼½¾]\s?(?:ct|carats?)\b", re.I)
_HIDDEN = re.compile(r"\b(?:enhanced|improved|clarified|perfected)\b", re.I)
_CLAIMS = re.compile(r"\b(?:natural|real|genuine|mined)\b", re.I)


def problems(*, text: str, laboratory_grown: bool) -> list[str]:
    """
    What is wrong with the words for a centre stone, in words; empty where nothing is.

    >>> problems(text="Laboratory-grown diamond, round", laboratory_grown=True)
    []
    >>> problems(text="Lab-grown diamond", laboratory_grown=False)
    ['“Lab-grown” is a clipped form: write “laboratory-grown”.']
    """
    found = [
        f"“{match}” is a clipped form: write “laboratory-grown”."
        for match in dict.fromkeys(_CLIPPED.findall(text))
    ]
    found += [
        f"“{match}”: write the weight in decimals, true to the last place."
        for match in dict.fromkeys(_FRACTION.findall(text))
    ]
    found += [
        f"“{match}” hides a treatment: say “treated”, and how."
        for match in dict.fromkeys(_HIDDEN.findall(text))
    ]
    if not laboratory_grown:
        return found
    rest = _CLIPPED.sub("", text)
    if _BARE.search(rest):
        found.append("“Diamond” alone means a natural one: write “laboratory-grown diamond”.")
    found += [
        f"“{match}” may not be said of a laboratory-grown stone."
        for match in dict.fromkeys(_CLAIMS.findall(text))
    ]
    return found
