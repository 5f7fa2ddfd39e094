"""Writes of the delivery room: address, packing, dispatch, arrival, care, small jobs, kind words, papers."""

from commissions.delivery.actions.addressing import ask_for_address, confirm_address, purge_addresses
from commissions.delivery.actions.arriving import client_confirms_arrival, confirm_arrival
from commissions.delivery.actions.calendar import end_calendar, make_calendar_key
from commissions.delivery.actions.caring import (
    ask_due_care,
    ask_next_care,
    finish_care,
    lay_care_dates,
    log_check,
)
from commissions.delivery.actions.forgetting import forget_words
from commissions.delivery.actions.identity import disclose, read_again
from commissions.delivery.actions.jobs import offer_job, open_job, take_in_ring
from commissions.delivery.actions.kind import (
    ask_due_kind_words,
    change_consent,
    decline_kind_words,
    give_kind_words,
    show_kind_words,
)
from commissions.delivery.actions.limits import keep_limit
from commissions.delivery.actions.papers import draw_paper, draw_waiting, keep_papers
from commissions.delivery.actions.parcel import dispatch, pack
from commissions.delivery.actions.photographing import add_parcel_photo
from commissions.delivery.actions.recording import make_ring_record
from commissions.delivery.actions.worrying import advice_was_read, advise, raise_worry

__all__ = [
    "add_parcel_photo",
    "advice_was_read",
    "advise",
    "ask_due_care",
    "ask_due_kind_words",
    "ask_for_address",
    "ask_next_care",
    "change_consent",
    "client_confirms_arrival",
    "confirm_address",
    "confirm_arrival",
    "decline_kind_words",
    "disclose",
    "dispatch",
    "draw_paper",
    "draw_waiting",
    "end_calendar",
    "finish_care",
    "forget_words",
    "give_kind_words",
    "keep_limit",
    "keep_papers",
    "lay_care_dates",
    "log_check",
    "make_calendar_key",
    "make_ring_record",
    "offer_job",
    "open_job",
    "pack",
    "purge_addresses",
    "raise_worry",
    "read_again",
    "show_kind_words",
    "take_in_ring",
]
