"""Writes of the letters: drafts from facts, what a person decides about them, and letters that failed."""

from commissions.letters.actions.deciding import decline, file_reply, keep, send, wish
from commissions.letters.actions.drafting import (
    draft_message,
    draft_move,
    draft_photos,
    draft_question,
)
from commissions.letters.actions.failures import settle_failures, show_failures

__all__ = [
    "decline",
    "draft_message",
    "draft_move",
    "draft_photos",
    "draft_question",
    "file_reply",
    "keep",
    "send",
    "settle_failures",
    "show_failures",
    "wish",
]
