"""Pages of the stones' room."""

from commissions.sourcing.views.approvals import approval, drop, write_off
from commissions.sourcing.views.checking import add_photo, check_in, hand_over, held, photo_file
from commissions.sourcing.views.conditions import (
    ask_same,
    condition,
    condition_pdf,
    yours_condition,
    yours_condition_pdf,
    yours_photo,
    yours_same,
)
from commissions.sourcing.views.melee import lot, lots
from commissions.sourcing.views.reports import to_report
from commissions.sourcing.views.stones import choose, of_commission, offer, order, order_pdf, stones, yours
from commissions.sourcing.views.turning import north, plot, strike, turn

__all__ = [
    "add_photo",
    "approval",
    "ask_same",
    "check_in",
    "choose",
    "condition",
    "condition_pdf",
    "drop",
    "hand_over",
    "held",
    "lot",
    "lots",
    "north",
    "of_commission",
    "offer",
    "order",
    "order_pdf",
    "photo_file",
    "plot",
    "stones",
    "strike",
    "to_report",
    "turn",
    "write_off",
    "yours",
    "yours_condition",
    "yours_condition_pdf",
    "yours_photo",
    "yours_same",
]
