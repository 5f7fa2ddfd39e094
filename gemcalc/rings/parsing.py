"""Ring sizes as people type them."""

from __future__ import annotations

import re

from gemcalc.errors import BadInput

_FRACTIONS = {"¼": ".25", "½": ".5", "¾": ".75"}
_SLASHED = {"1/4": ".25", "1/2": ".5", "2/4": ".5", "3/4": ".75"}
_LEADING = re.compile(
    r"^(?:iso\s*8653|iso|us|usa|ca|uk|ie|au|jp|jcs|ch|it|size|ring\s*size|no\.?|nr\.?|#|号)[\s:\-]*",
    re.IGNORECASE,
)
_NUMBER = re.compile(r"-?[0-9]{1,3}(?:\.[0-9]{0,6})?|-?\.[0-9]{1,6}")
_LETTER = re.compile(r"(?P<letter>[a-z])(?:\+(?P<beyond>[0-9]{1,2}))?(?P<part>\.[0-9]{1,6})?", re.IGNORECASE)


def steps_typed(*, system: str, size: str) -> float:
    """
    A ring size as typed, as a number (for `uk` steps above A).

    Understood: `6.5`, `6,5`, `6 1/2`, `6½`, `US 6½`, `M`, `M½`, `m 1/2`, `Z+1`, `ISO 8653-54`, `54 mm`.

    Args:
        system: One of `iso`, `us`, `uk`, `jp`, `ch`.
        size: The size as typed, at most 40 characters.

    Returns:
        The number, exact.

    Raises:
        BadInput: it cannot be read as a size of that system.

    Source:
        bs-6820, jis-s-4700, practice

    >>> [steps_typed(system="us", size=text) for text in ("6 1/2", "6.5", "6½", "6,5")]
    [6.5, 6.5, 6.5, 6.5]
    >>> [steps_typed(system="uk", size=text) for text in ("M½", "Z+1")]
    [12.5, 26.0]
    """
    plain = _plain(size)
    if system == "uk":
        return _letters(plain, size)
    if _NUMBER.fullmatch(plain) is None:
        example = {"us": "6 1/2", "iso": "54", "jp": "14", "ch": "14"}.get(system, "54")
        raise BadInput(f"must be a size such as {example}, and {_shown(size)} is not", field="size")
    return float(plain)


def _plain(size: str) -> str:
    """The typed size without words, with fractions as decimals."""
    text = " ".join(size.split())
    if len(text) > 40:
        return ""
    before = None
    while before != text:
        before, text = text, _LEADING.sub("", text, count=1)
    for ending in ("mm", "号"):
        text = text.strip().removesuffix(ending)
    for dash in "–—−‐‑":
        text = text.replace(dash, "-")
    text = text.replace(",", ".").replace("⁄", "/")
    for sign, decimal in _FRACTIONS.items():
        text = text.replace(sign, decimal)
    for slashed, decimal in _SLASHED.items():
        # "6 1/2" and "6-1/2" are six and a half; "61/2" is not a size anyone means.
        text = re.sub(rf"(?:(?<=[0-9])[ \-]+|(?<=[A-Za-z])[ \-]*|^){slashed}$", decimal, text)
    return re.sub(r"\s+", "", text)


def _letters(plain: str, size: str) -> float:
    found = _LETTER.fullmatch(plain)
    if found is None:
        raise BadInput(f"must be a letter such as M or M½, and {_shown(size)} is not", field="size")
    letter, beyond = found["letter"].upper(), found["beyond"]
    if beyond is not None and letter != "Z":
        raise BadInput("only Z goes on with a number, as in Z+1", field="size")
    return ord(letter) - ord("A") + float(beyond or 0) + float(found["part"] or 0)


def _shown(size: str) -> str:
    text = " ".join(size.split())
    return f"“{text[:20]}{'…' if len(text) > 20 else ''}”" if text else "nothing"
