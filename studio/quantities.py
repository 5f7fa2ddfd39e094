"""Physical facts at rest are integers: 0.01 mm, 0.001 ct, mg; written out with their unit here."""

from __future__ import annotations

from decimal import Decimal


def mm(hundredths: int | None) -> str:
    """Length in mm with two decimals from 0.01 mm."""
    return "" if hundredths is None else f"{Decimal(hundredths).scaleb(-2):.2f}"


def ct(thousandths: int | None) -> str:
    """Weight in carat with three decimals from 0.001 ct."""
    return "" if thousandths is None else f"{Decimal(thousandths).scaleb(-3):.3f}"


def g(milligrams: int | None) -> str:
    """Mass in g with two decimals from mg."""
    return "" if milligrams is None else f"{Decimal(milligrams).scaleb(-3):.2f}"
