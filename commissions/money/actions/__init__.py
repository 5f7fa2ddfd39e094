"""Writes of the money room, split by what is done: posting, quoting, agreeing, receiving, starting work."""

from commissions.money.actions.agreeing import approve, keep_shown, start_work, void_approval
from commissions.money.actions.bank import change_bank_details, withdraw_bank_details
from commissions.money.actions.cancelling import pay_refund, settle_cancellation
from commissions.money.actions.cards import open_card_payment, take_notice
from commissions.money.actions.changing import approve_change, end_change, send_change
from commissions.money.actions.committing import commit, write_off
from commissions.money.actions.exchanging import Foreign, keep_rate, pay_bill
from commissions.money.actions.importing import answer_likeness, import_rows, match_line
from commissions.money.actions.posting import close_period, post, reverse
from commissions.money.actions.prices import keep_prices, keep_tax_code
from commissions.money.actions.quoting import draft_quote, send_quote
from commissions.money.actions.receiving import (
    event_happened,
    post_receipt,
    request_instalment,
)
from commissions.money.actions.recognising import keep_rule, recognise_at_completion, recognise_at_handover
from commissions.money.actions.redating import agree_to_date

__all__ = [
    "Foreign",
    "agree_to_date",
    "answer_likeness",
    "approve",
    "approve_change",
    "change_bank_details",
    "close_period",
    "commit",
    "draft_quote",
    "end_change",
    "event_happened",
    "import_rows",
    "keep_prices",
    "keep_rate",
    "keep_rule",
    "keep_shown",
    "keep_tax_code",
    "match_line",
    "open_card_payment",
    "pay_bill",
    "pay_refund",
    "post",
    "post_receipt",
    "recognise_at_completion",
    "recognise_at_handover",
    "request_instalment",
    "reverse",
    "send_change",
    "send_quote",
    "settle_cancellation",
    "start_work",
    "take_notice",
    "void_approval",
    "withdraw_bank_details",
    "write_off",
]
