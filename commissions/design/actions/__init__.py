"""Writes of the design room: drafting a revision, sending it, and the client's answer."""

from commissions.design.actions.answering import agree_direction, answer_revision, start_revision
from commissions.design.actions.commenting import answer_comment, close_comment, comment, reopen_comment
from commissions.design.actions.drafting import draft_revision, next_letter, send_revision
from commissions.design.actions.terms import say_terms

__all__ = [
    "agree_direction",
    "answer_comment",
    "answer_revision",
    "close_comment",
    "comment",
    "draft_revision",
    "next_letter",
    "reopen_comment",
    "say_terms",
    "send_revision",
    "start_revision",
]
