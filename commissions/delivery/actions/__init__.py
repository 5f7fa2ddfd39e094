"""Writes of the delivery room: address, packing, dispatch, arrival, care."""

from commissions.delivery.actions.addressing import ask_for_address, confirm_address, purge_addresses
from commissions.delivery.actions.arriving import client_confirms_arrival, confirm_arrival
from commissions.delivery.actions.calendar import end_calendar, make_calendar_key
from commissions.delivery.actions.caring import ask_due_care, ask_next_care, finish_care, lay_care_dates
from commissions.delivery.actions.limits import keep_limit
from commissions.delivery.actions.parcel import dispatch, pack
from commissions.delivery.actions.photographing import add_parcel_photo
from commissions.delivery.actions.recording import make_ring_record

__all__ = [
    "add_parcel_photo",
    "ask_due_care",
    "ask_for_address",
    "ask_next_care",
    "client_confirms_arrival",
    "confirm_address",
    "confirm_arrival",
    "dispatch",
    "end_calendar",
    "finish_care",
    "keep_limit",
    "lay_care_dates",
    "make_calendar_key",
    "make_ring_record",
    "pack",
    "purge_addresses",
]
