"""Writes of the design room: drafting a revision, sending it, and the client's answer."""

from commissions.design.actions.answering import agree_direction, answer_revision, start_revision
from commissions.design.actions.drafting import draft_revision, next_letter, send_revision

__all__ = [
    "agree_direction",
    "answer_revision",
    "draft_revision",
    "next_letter",
    "send_revision",
    "start_revision",
]
