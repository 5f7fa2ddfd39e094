"""Pages of the money room."""

from commissions.money.views.client import agree, ask, how_to_pay, yours
from commissions.money.views.ledger import entry, glance, ledger, receipt, reverse, spent
from commissions.money.views.papers import (
    quotation_pdf,
    receipt_pdf,
    your_quotation_pdf,
    your_receipt_pdf,
)
from commissions.money.views.quotation import money, quotation, send
from commissions.money.views.tables import bank, prices, taxes

__all__ = [
    "agree",
    "ask",
    "bank",
    "entry",
    "glance",
    "how_to_pay",
    "ledger",
    "money",
    "prices",
    "quotation",
    "quotation_pdf",
    "receipt",
    "receipt_pdf",
    "reverse",
    "send",
    "spent",
    "taxes",
    "your_quotation_pdf",
    "your_receipt_pdf",
    "yours",
]
