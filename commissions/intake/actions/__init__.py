"""Writes of the intake, split by who writes: the client (writing, sending) and the studio (answering)."""

from commissions.intake.actions.answering import decline, find_or_make_client, mark_answered
from commissions.intake.actions.sending import send
from commissions.intake.actions.writing import (
    add_picture,
    answer,
    begin,
    describe_picture,
    forget_draft,
    keep_for,
    prove_address,
    remove_brief,
    remove_old,
    remove_picture,
    resume,
)

__all__ = [
    "add_picture",
    "answer",
    "begin",
    "decline",
    "describe_picture",
    "find_or_make_client",
    "forget_draft",
    "keep_for",
    "mark_answered",
    "prove_address",
    "remove_brief",
    "remove_old",
    "remove_picture",
    "resume",
    "send",
]
