"""Writes of the stones' room."""

from commissions.sourcing.actions.approvals import (
    buy_stone,
    drop_candidate,
    extend_approval,
    remind,
    send_back,
    settle_reminder,
)
from commissions.sourcing.actions.checking import add_photo, check_in, implied_weight_mct
from commissions.sourcing.actions.conditions import (
    answer_condition,
    answer_same_stone,
    ask_same_stone,
    send_condition,
)
from commissions.sourcing.actions.lives import issue_chosen, set_chosen, write_off
from commissions.sourcing.actions.melee import move_lot, open_lot
from commissions.sourcing.actions.papers import keep_paper
from commissions.sourcing.actions.reports import work_to_report
from commissions.sourcing.actions.stones import (
    add_candidate,
    choose_stone,
    hand_over,
    offer_stones,
)
from commissions.sourcing.actions.turning import plot_mark, say_north, strike_mark, turn_stone

__all__ = [
    "add_candidate",
    "add_photo",
    "answer_condition",
    "answer_same_stone",
    "ask_same_stone",
    "buy_stone",
    "check_in",
    "choose_stone",
    "drop_candidate",
    "extend_approval",
    "hand_over",
    "implied_weight_mct",
    "issue_chosen",
    "keep_paper",
    "move_lot",
    "offer_stones",
    "open_lot",
    "plot_mark",
    "remind",
    "say_north",
    "send_back",
    "send_condition",
    "set_chosen",
    "settle_reminder",
    "strike_mark",
    "turn_stone",
    "work_to_report",
    "write_off",
]
