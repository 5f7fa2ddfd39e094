"""Pages of the money room."""

from commissions.money.views.after import cancellation, changes, export_beancount, export_csv, your_change
from commissions.money.views.bank import match, same, statements
from commissions.money.views.books import periods, rule
from commissions.money.views.cards import card_notice, pay_by_card
from commissions.money.views.client import agree, ask, how_to_pay, yours
from commissions.money.views.exchange import bill, bill_abroad, receipt_abroad
from commissions.money.views.ledger import entry, glance, ledger, receipt, reverse, spent
from commissions.money.views.looks import looks
from commissions.money.views.options import options
from commissions.money.views.papers import (
    paper_pdf,
    quotation_pdf,
    receipt_pdf,
    your_paper_pdf,
    your_quotation_pdf,
    your_receipt_pdf,
)
from commissions.money.views.quotation import money, quotation, send
from commissions.money.views.tables import bank, prices, taxes

__all__ = [
    "agree",
    "ask",
    "bank",
    "bill",
    "bill_abroad",
    "cancellation",
    "card_notice",
    "changes",
    "entry",
    "export_beancount",
    "export_csv",
    "glance",
    "how_to_pay",
    "ledger",
    "looks",
    "match",
    "money",
    "options",
    "paper_pdf",
    "pay_by_card",
    "periods",
    "prices",
    "quotation",
    "quotation_pdf",
    "receipt",
    "receipt_abroad",
    "receipt_pdf",
    "reverse",
    "rule",
    "same",
    "send",
    "spent",
    "statements",
    "taxes",
    "your_change",
    "your_paper_pdf",
    "your_quotation_pdf",
    "your_receipt_pdf",
    "yours",
]
