"""The chart of accounts; an account is opened in a currency when it is first needed."""

from __future__ import annotations

from commissions.money.models import Account, Kind

CHART: dict[str, tuple[str, str]] = {
    "bank": ("Bank", Kind.ASSET),
    "card-clearing": ("Card clearing", Kind.ASSET),
    "stone-stock": ("Stone stock", Kind.ASSET),
    "metal-stock": ("Metal stock", Kind.ASSET),
    "unmatched": ("Receipts not matched yet", Kind.LIABILITY),
    "held": ("Client instalments held", Kind.LIABILITY),
    "refunds-due": ("Refunds due", Kind.LIABILITY),
    "tax-due": ("Tax due", Kind.LIABILITY),
    "payables": ("Suppliers to be paid", Kind.LIABILITY),
    "conversion": ("Changed between currencies", Kind.EQUITY),
    "adjustments": ("Owner adjustments", Kind.EQUITY),
    "sales-rings": ("Sales, rings", Kind.INCOME),
    "sales-services": ("Sales, services", Kind.INCOME),
    "exchange": ("Exchange difference", Kind.INCOME),
    "cost-rings": ("Cost of rings", Kind.EXPENSE),
    "breakage": ("Loss and breakage", Kind.EXPENSE),
    "carriage": ("Carriage and insurance", Kind.EXPENSE),
}

MONEY_IN = ("bank", "card-clearing", "conversion")
"""
Where a client's money stands with the name of the piece: their sum in its currency is what was settled.

What came in another currency stands on the bank of that currency; its side in the currency of the piece is
the conversion account, whose lines carry the piece only there.
"""


def account(code: str, *, currency: str) -> Account:
    """
    The account *code* in *currency*.

    Raises:
        KeyError: the chart has no such account.
    """
    name, kind = CHART[code]
    found, _made = Account.objects.get_or_create(
        code=code, currency=currency, defaults={"name": name, "kind": kind}
    )
    return found
