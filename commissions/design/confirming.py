"""What a client types again to confirm it: the ring size and the engraving, letter by letter."""

from __future__ import annotations

import unicodedata

from django.utils.translation import gettext as _

from commissions.design.lookalikes import look_alike
from gemcalc.rings import ring_of_circumference

SAME_SIGNS = str.maketrans(
    {"’": "'", "‘": "'", "ʼ": "'", "“": '"', "”": '"', "–": "-", "—": "-", "\u00a0": " "}
)
"""Signs that a telephone writes for others by itself: typed one for the other they confirm the same words."""


def _plain(text: str) -> str:
    """Fractions as figures, no blanks, small letters: ``US 6 ½`` and ``us6 1/2`` read the same."""
    apart = "".join(f" {sign}" if unicodedata.category(sign) == "No" else sign for sign in text)
    folded = unicodedata.normalize("NFKC", apart).replace("\u2044", "/").casefold()
    return "".join(folded.split())


def wrong_size(*, typed: str, circumference_mm: float) -> str:
    """
    Why *typed* does not confirm a ring size, or nothing where it does.

    The inside in mm confirms it, with comma or point, and so do the local sizes that stand beside it.

    >>> wrong_size(typed="54,0 mm", circumference_mm=54.0)
    ''
    """
    ring = ring_of_circumference(circumference_mm=circumference_mm)
    shown = f"{circumference_mm:.1f}"
    figure = typed.strip().casefold().removesuffix("mm").strip().replace(",", ".")
    try:
        if abs(float(figure) - float(shown)) < 0.05:
            return ""
    except ValueError:
        pass
    if _plain(typed) in {_plain(f"US {ring.us_label}"), _plain(f"UK {ring.uk_label}")}:
        return ""
    return _(
        "This is not the size that stands above, which is %(size)s mm round the inside. If the one above is "
        "wrong, do not agree: write to us."
    ) % {"size": shown}


def wrong_engraving(*, typed: str, engraving: str) -> str:
    """
    Why *typed* does not confirm an engraving, or nothing where it does; the first letter that differs is named.

    >>> wrong_engraving(typed="M & J", engraving="M & J")
    ''
    """
    given = unicodedata.normalize("NFC", typed.strip())
    wanted = unicodedata.normalize("NFC", engraving.strip())
    if given.translate(SAME_SIGNS) == wanted.translate(SAME_SIGNS):
        return ""
    doubt = look_alike(given)
    if doubt:
        return doubt
    for place, (one, other) in enumerate(zip(given, wanted, strict=False), start=1):
        if one.translate(SAME_SIGNS) != other.translate(SAME_SIGNS):
            return _(
                "Sign number %(place)s is “%(typed)s” (%(typed_name)s); above it is “%(wanted)s” (%(wanted_name)s). "
                "If the one above is wrong, do not agree: write to us."
            ) % {
                "place": place,
                "typed": one,
                "typed_name": _name(one),
                "wanted": other,
                "wanted_name": _name(other),
            }
    if len(given) < len(wanted):
        return _("Something is missing: above it goes on with “%(rest)s”.") % {"rest": wanted[len(given) :]}
    return _("This is longer than the engraving above: “%(rest)s” is too much.") % {
        "rest": given[len(wanted) :]
    }


def _name(sign: str) -> str:
    return _("a blank") if sign == " " else unicodedata.name(sign, "?").lower()
