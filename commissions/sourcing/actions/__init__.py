"""Writes of the stones' room."""

from commissions.sourcing.actions.checking import add_photo, check_in, implied_weight_mct
from commissions.sourcing.actions.conditions import (
    answer_condition,
    answer_same_stone,
    ask_same_stone,
    send_condition,
)
from commissions.sourcing.actions.melee import move_lot, open_lot
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
    "answer_condition",
    "answer_same_stone",
    "ask_same_stone",
    "check_in",
    "choose_stone",
    "extend_approval",
    "hand_over",
    "implied_weight_mct",
    "move_lot",
    "offer_stones",
    "open_lot",
    "plot_mark",
    "send_back",
    "send_condition",
    "strike_mark",
    "turn_stone",
]
