"""Writes of the stones' room."""

from commissions.sourcing.actions.checking import add_photo, check_in, implied_weight_mct
from commissions.sourcing.actions.stones import (
    add_candidate,
    choose_stone,
    extend_approval,
    hand_over,
    offer_stones,
    send_back,
)

__all__ = [
    "add_candidate",
    "add_photo",
    "check_in",
    "choose_stone",
    "extend_approval",
    "hand_over",
    "implied_weight_mct",
    "offer_stones",
    "send_back",
]
