"""
Writes of the outbox.

``put`` is called in the transaction of the letter's cause; ``claim`` and the ends of an attempt belong to
studio.outbox.delivery; the rest is what a person does by hand.
"""

from studio.outbox.actions.attempts import (
    CRASHES_ALLOWED,
    claim,
    finish_later,
    finish_refused,
    finish_sent,
    free_leases,
)
from studio.outbox.actions.by_hand import came_back, send_again, withdraw
from studio.outbox.actions.putting import put

__all__ = [
    "CRASHES_ALLOWED",
    "came_back",
    "claim",
    "finish_later",
    "finish_refused",
    "finish_sent",
    "free_leases",
    "put",
    "send_again",
    "withdraw",
]
