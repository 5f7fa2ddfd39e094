"""Forms of the money room."""

from commissions.money.forms.client import Ask
from commissions.money.forms.ledger import Reason, Receipt, Spent
from commissions.money.forms.quotation import Lines, Send, Terms, lines_of
from commissions.money.forms.tables import Bank, Prices, TaxRow

__all__ = [
    "Ask",
    "Bank",
    "Lines",
    "Prices",
    "Reason",
    "Receipt",
    "Send",
    "Spent",
    "TaxRow",
    "Terms",
    "lines_of",
]
