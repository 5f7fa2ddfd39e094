"""The rule by which sales and their tax are booked."""

from __future__ import annotations

from commissions.money.models import BookRule


def book_rule() -> BookRule:
    """The rule that holds now: the newest, or the house's own where none was set (a sale is made at handover)."""
    return BookRule.objects.select_related("made_by").order_by("-id").first() or BookRule()


def book_rules() -> list[BookRule]:
    """Every rule there was, newest first."""
    return list(BookRule.objects.select_related("made_by").order_by("-id")[:50])
