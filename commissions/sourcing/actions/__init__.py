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
from commissions.sourcing.actions.turning import plot_mark, strike_mark, turn_stone

__all__ = [
    "add_candidate",
    "add_photo",
    "check_in",
    "choose_stone",
    "extend_approval",
    "hand_over",
    "implied_weight_mct",
    "offer_stones",
    "plot_mark",
    "send_back",
    "strike_mark",
    "turn_stone",
]
