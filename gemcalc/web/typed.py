"""
Figures as a person types them: comma decimals, fractions, thousands, units.

``6,5``, ``6 1/2``, ``6½ mm``, ``1/4 in``, ``50 pt``, ``3.1 dwt`` all become a number in the unit of their kind.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from decimal import Decimal

from gemcalc.errors import BadInput
from gemcalc.troy import UNITS_G

LONGEST = 40
"""Signs in one figure; nobody types more."""

_VULGAR = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
}
_SPACES = re.compile(r"[\s\u00a0\u2009\u202f]+")
_SPLIT = re.compile(r"(?P<figure>[-+0-9.,/'’ ]*[0-9.,/])\s*(?P<unit>[^0-9]*)")
_MIXED = re.compile(r"(?:(?P<whole>[0-9]{1,6})[ -])?(?P<above>[0-9]{1,6})/(?P<below>[0-9]{1,6})")
_PLAIN = re.compile(r"-?(?:[0-9]{1,12}(?:\.[0-9]{0,12})?|\.[0-9]{1,12})")
_GROUPED = re.compile(r"-?[0-9]{1,3}(?:[ '’][0-9]{3})+(?:[.,][0-9]*)?")
_TWO_READINGS = re.compile(r"-?[1-9][0-9]{0,2}[.,][0-9]{3}")


@dataclass(frozen=True, kw_only=True)
class Kind:
    """
    One kind of figure.

    Args:
        unit: The unit in which it is wanted, and which stands where none is typed.
        units: How many of *unit* one of each other unit is, by the words for it in lower case.
        example: What a good figure looks like.
        money: Whether ``2,431`` could mean two thousand, so that it must be asked.
    """

    unit: str
    units: dict[str, Decimal] = field(default_factory=dict)
    example: str = "6.5"
    money: bool = False


_INCH = Decimal("25.4")
LENGTH = Kind(
    unit="mm",
    units={
        "mm": Decimal(1), "millimetre": Decimal(1), "millimetres": Decimal(1), "millimeters": Decimal(1),
        "cm": Decimal(10), "m": Decimal(1000), "µm": Decimal("0.001"), "um": Decimal("0.001"), "μm": Decimal("0.001"),
        "in": _INCH, "inch": _INCH, "inches": _INCH, '"': _INCH, "″": _INCH, "in.": _INCH,
    },
    example="6.5, 6½ or 1/4 in",
)  # fmt: skip
CARATS = Kind(
    unit="ct",
    units={
        "ct": Decimal(1), "ct.": Decimal(1), "cts": Decimal(1), "carat": Decimal(1), "carats": Decimal(1),
        "pt": Decimal("0.01"), "pts": Decimal("0.01"), "point": Decimal("0.01"), "points": Decimal("0.01"),
        "g": Decimal(5), "mg": Decimal("0.005"),
    },
    example="1.014, 50 pt or 0.2 g",
)  # fmt: skip
GRAMS = Kind(
    unit="g",
    units={
        **UNITS_G,
        "kg": Decimal(1000),
        "oz t": UNITS_G["ozt"],
        "grain": UNITS_G["gr"],
        "grains": UNITS_G["gr"],
    },
    example="4.31 g, 2.5 dwt or 980 mg",
)
PERCENT = Kind(unit="%", units={"%": Decimal(1), "percent": Decimal(1)}, example="10")
PPT = Kind(unit="‰", units={"‰": Decimal(1), "ppt": Decimal(1), "%": Decimal(10)}, example="750")
DEGREES = Kind(unit="°", units={"°": Decimal(1), "deg": Decimal(1), "degrees": Decimal(1)}, example="45")
DENSITY = Kind(
    unit="g/cm³", units={"g/cm³": Decimal(1), "g/cm3": Decimal(1), "g/cc": Decimal(1)}, example="15.5"
)
PLAIN = Kind(unit="", example="1.5")
PRICE = Kind(unit="", units={word: Decimal(1) for word in ("€", "£", "$", "eur", "gbp", "usd", "chf")},
             example="2431.50", money=True)  # fmt: skip


def figure_typed(text: str, *, kind: Kind) -> Decimal:
    """
    A figure as typed, in the unit of its *kind*.

    Args:
        text: What was typed, at most 40 signs.
        kind: What kind of figure it is.

    Returns:
        The figure in ``kind.unit``; exact, fractions to 28 digits.

    Raises:
        BadInput: it cannot be read as such a figure, or it could be read two ways.

    >>> [figure_typed(one, kind=LENGTH) for one in ("6,5", "6 1/2", "6½ mm", "1/4 in")]
    [Decimal('6.5'), Decimal('6.5'), Decimal('6.5'), Decimal('6.350')]
    >>> figure_typed("50 pt", kind=CARATS)
    Decimal('0.50')
    """
    plain = text.strip().replace("⁄", "/").replace("−", "-").replace("–", "-")
    for sign in "€£$":
        plain = plain.removeprefix(sign)
    for sign, fraction in _VULGAR.items():
        plain = plain.replace(sign, f" {fraction}")
    plain = _SPACES.sub(" ", plain).strip()
    found = _SPLIT.fullmatch(plain) if len(text) <= LONGEST else None
    if found is None:
        raise _unreadable(text, kind)
    scale = _scale(found["unit"].strip().lower(), kind)
    return _figure(found["figure"].strip(), text, kind) * scale


def _unreadable(text: str, kind: Kind) -> BadInput:
    shown = " ".join(text.split())
    shown = f"“{shown[:24]}{'…' if len(shown) > 24 else ''}”"
    return BadInput(f"must be a figure such as {kind.example}, and {shown} is not")


def _scale(unit: str, kind: Kind) -> Decimal:
    if not unit:
        return Decimal(1)
    if unit in kind.units:
        return kind.units[unit]
    known = ", ".join(dict.fromkeys(word for word in kind.units if len(word) <= 3)) or "no unit"
    raise BadInput(f"is not measured in “{unit[:12]}”: write {known}")


def _figure(plain: str, text: str, kind: Kind) -> Decimal:
    mixed = _MIXED.fullmatch(plain)
    if mixed is not None:
        if int(mixed["below"]) == 0:
            raise _unreadable(text, kind)
        return Decimal(int(mixed["whole"] or 0)) + Decimal(mixed["above"]) / Decimal(mixed["below"])
    if _GROUPED.fullmatch(plain):
        plain = re.sub(r"[ '’]", "", plain)
    if "," in plain and "." in plain:
        # Whichever stands last is the decimal sign; the other one groups thousands.
        last = max(plain.rfind(","), plain.rfind("."))
        plain = re.sub(r"[.,]", "", plain[:last]) + "." + plain[last + 1 :]
    elif kind.money and _TWO_READINGS.fullmatch(plain):
        whole = re.sub(r"[.,]", "", plain)
        raise BadInput(
            f"could be {whole} or {plain.replace(',', '.')}0: write it with two decimals, or with none"
        )
    plain = plain.replace(",", ".")
    if _PLAIN.fullmatch(plain) is None:
        raise _unreadable(text, kind)
    return Decimal(plain)
