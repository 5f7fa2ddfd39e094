"""Forms of the money room."""

from commissions.money.forms.after import Change, Match, Refund, Statement
from commissions.money.forms.books import Close, Rule
from commissions.money.forms.client import Agree, Ask
from commissions.money.forms.exchange import BillAbroad, Broken, Paid, ReceiptAbroad
from commissions.money.forms.ledger import Reason, Receipt, Spent
from commissions.money.forms.quotation import Lines, Send, Terms, lines_of
from commissions.money.forms.tables import Bank, Prices, TaxRow

__all__ = [
    "Agree",
    "Ask",
    "Bank",
    "BillAbroad",
    "Broken",
    "Change",
    "Close",
    "Lines",
    "Match",
    "Paid",
    "Prices",
    "Reason",
    "Receipt",
    "ReceiptAbroad",
    "Refund",
    "Rule",
    "Send",
    "Spent",
    "Statement",
    "TaxRow",
    "Terms",
    "lines_of",
]
