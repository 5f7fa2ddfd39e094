"""Writes of the bench."""

from commissions.bench.actions.acts import perform
from commissions.bench.actions.check import answer_line, pass_check
from commissions.bench.actions.dates import (
    accept_date,
    propose_date,
    take_back_date,
    watch_dates,
    wish_to_cancel,
)
from commissions.bench.actions.facts import count_stones, take_back_count, take_back_weight, weigh
from commissions.bench.actions.metal import move_metal, open_lot, reverse_metal
from commissions.bench.actions.photos import (
    add_photo,
    describe_photo,
    mark_carried,
    release_photo,
    remove_photo,
    withdraw_photo,
)
from commissions.bench.actions.problems import answer_problem, report_problem
from commissions.bench.actions.refining import close_account, send_to_refiner, settle_refining
from commissions.bench.actions.steps import (
    begin,
    finish_step,
    lay_steps,
    leave_out_step,
    reopen_step,
    start_step,
)
from commissions.bench.actions.stones import book_stones
from commissions.bench.actions.suppliers import make_link, owe_later, send_out, take_back
from commissions.bench.actions.templates import edit_template, ensure_templates
from commissions.bench.actions.time import edit_time, start_time, stop_time
from commissions.bench.actions.undoing import undo

__all__ = [
    "accept_date",
    "add_photo",
    "answer_line",
    "answer_problem",
    "begin",
    "book_stones",
    "close_account",
    "count_stones",
    "describe_photo",
    "edit_template",
    "edit_time",
    "ensure_templates",
    "finish_step",
    "lay_steps",
    "leave_out_step",
    "make_link",
    "mark_carried",
    "move_metal",
    "open_lot",
    "owe_later",
    "pass_check",
    "perform",
    "propose_date",
    "release_photo",
    "remove_photo",
    "reopen_step",
    "report_problem",
    "reverse_metal",
    "send_out",
    "send_to_refiner",
    "settle_refining",
    "start_step",
    "start_time",
    "stop_time",
    "take_back",
    "take_back_count",
    "take_back_date",
    "take_back_weight",
    "undo",
    "watch_dates",
    "weigh",
    "wish_to_cancel",
    "withdraw_photo",
]
