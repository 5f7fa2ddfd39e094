"""One line of a quotation before it is written, and the one rounding of a quotation."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal


@dataclass(frozen=True, kw_only=True)
class NewLine:
    """One line to be quoted: quantity times the price of one, in minor units, with its tax code and rate."""

    kind: str
    words: str
    quantity: Decimal = Decimal(1)
    unit: str = ""
    unit_minor: Decimal = Decimal(0)
    cost_minor: int = 0
    tax_code: str = ""
    tax_rate: Decimal = Decimal(0)
    computed_from: dict = field(default_factory=dict)


def rounded(amount: Decimal) -> int:
    """Minor units of a line, half up: the one rounding of a quotation."""
    return int(amount.quantize(Decimal(1), rounding=ROUND_HALF_UP))


def plainly(figure: Decimal | None) -> str:
    """A figure as people write it, without the noughts at its end."""
    if figure is None:
        return ""
    text = f"{figure:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
