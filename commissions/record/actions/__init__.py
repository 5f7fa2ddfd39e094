"""
Writes of the record, split by what is done: moves, questions, and what lies alongside.

Every action that opens or answers a question also settles the turn, in the same transaction.
"""

from commissions.record.actions.alongside import (
    lift_holds,
    mark_seen,
    place_hold,
    post_message,
    promise,
)
from commissions.record.actions.moves import advance, complete, open_commission, withdraw
from commissions.record.actions.questions import (
    answer_question,
    answer_questions,
    let_wait,
    open_question,
    settle_turn,
)
from commissions.record.actions.small import open_small_job

__all__ = [
    "advance",
    "answer_question",
    "answer_questions",
    "complete",
    "let_wait",
    "lift_holds",
    "mark_seen",
    "open_commission",
    "open_question",
    "open_small_job",
    "place_hold",
    "post_message",
    "promise",
    "settle_turn",
    "withdraw",
]
