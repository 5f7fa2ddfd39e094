"""What things cost the invented workshop, and what it asks for them: a list of the beginning of the year."""

from __future__ import annotations

from decimal import Decimal

from commissions.design.computing import DEFAULT_SIZES_MM
from commissions.money.actions import keep_prices
from commissions.money.actions.prices import NewPrice
from commissions.money.models import PriceKind
from commissions.pages.demo.setting_out import Cast, on

ROWS = (
    (PriceKind.METAL, "Au", "2480", "2480"),
    (PriceKind.METAL, "Pt", "980", "980"),
    (PriceKind.METAL, "Pd", "910", "910"),
    (PriceKind.METAL, "Ag", "29", "29"),
    (PriceKind.METAL_MARKUP, "", "18", "0"),
    (PriceKind.STONE_MARKUP, "", "25", "0"),
    (PriceKind.HOUR, "", "62", "31"),
    (PriceKind.STEP, "Model", "3", "0"),
    (PriceKind.STEP, "Mounting", "7", "0"),
    (PriceKind.SET_CENTRE, "", "95", "50"),
    (PriceKind.SET_HALO, "", "14.50", "8"),
    (PriceKind.FINISHING, "", "140", "70"),
    (PriceKind.MARKING, "", "65", "38"),
    (PriceKind.ENGRAVING, "", "65", "30"),
    (PriceKind.DELIVERY, "", "85", "60"),
)
"""Kind, name, what is asked, what it costs. Invented, as everything in the demo."""


def keep(cast: Cast) -> None:
    """Keep the list, with halo stones dearer the larger they are."""
    small = [
        NewPrice(
            kind=PriceKind.MELEE,
            name=f"{size:.2f}",
            price=Decimal(str(round(9 * size**2, 1))),
            cost=Decimal(str(round(5 * size**2, 1))),
        )
        for size in DEFAULT_SIZES_MM
    ]
    rows = [
        NewPrice(kind=kind, name=name, price=Decimal(price), cost=Decimal(cost))
        for kind, name, price, cost in ROWS
    ]
    with on("2026-01-05", "09:30"):
        keep_prices(
            currency="GBP", source="Our own list LF-P26 (invented)", prices=[*rows, *small], person=cast.owner
        )
