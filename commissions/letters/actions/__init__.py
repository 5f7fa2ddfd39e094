"""Writes of the letters: drafts from facts, what a person decides about them, and letters that failed."""

from commissions.letters.actions.deciding import decline, file_reply, keep, send, wish
from commissions.letters.actions.drafting import (
    close_of_withdrawn,
    draft_move,
    draft_photos,
)
from commissions.letters.actions.failures import settle_failures, show_failures
from commissions.letters.actions.telling import draft_message, draft_question

__all__ = [
    "close_of_withdrawn",
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
