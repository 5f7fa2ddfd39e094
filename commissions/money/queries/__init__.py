"""Reads of the money room: sums are made by the database, never by loading rows."""

from commissions.money.queries.agreement import (
    accepted_quote,
    approval_differences,
    approved_changes,
    draft_quote,
    fingerprint_now,
    open_quote,
    quotes,
    seats_missing,
    standing_approval,
    totals,
)
from commissions.money.queries.alike import asked_lines, entry_alike, line_alike, receipt_alike
from commissions.money.queries.balances import (
    agreed_sums,
    client_account,
    commitments,
    committed,
    cover,
    exchange_gain,
    held,
    held_per_currency,
    outstanding,
    plan_rows,
    refund_due,
    settled,
    sold,
    stock,
    tax_entered,
    written_off,
)
from commissions.money.queries.bank import bank_details, currencies, waiting_bank_details
from commissions.money.queries.glance import due, per_piece, sums_of
from commissions.money.queries.ledger import accounts, entry_of, ledger_page
from commissions.money.queries.looks import cost_per_job, due_by_week, held_over_time
from commissions.money.queries.periods import closed_months, first_open_day, late_entries, months
from commissions.money.queries.piece import piece_part
from commissions.money.queries.profit import profit
from commissions.money.queries.rule import book_rule, book_rules

__all__ = [
    "accepted_quote",
    "accounts",
    "agreed_sums",
    "approval_differences",
    "approved_changes",
    "asked_lines",
    "bank_details",
    "book_rule",
    "book_rules",
    "client_account",
    "closed_months",
    "commitments",
    "committed",
    "cost_per_job",
    "cover",
    "currencies",
    "draft_quote",
    "due",
    "due_by_week",
    "entry_alike",
    "entry_of",
    "exchange_gain",
    "fingerprint_now",
    "first_open_day",
    "held",
    "held_over_time",
    "held_per_currency",
    "late_entries",
    "ledger_page",
    "line_alike",
    "months",
    "open_quote",
    "outstanding",
    "per_piece",
    "piece_part",
    "plan_rows",
    "profit",
    "quotes",
    "receipt_alike",
    "refund_due",
    "seats_missing",
    "settled",
    "sold",
    "standing_approval",
    "stock",
    "sums_of",
    "tax_entered",
    "totals",
    "waiting_bank_details",
    "written_off",
]
