"""Pages of the stones' room."""

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
from commissions.sourcing.views.stones import choose, of_commission, offer, stones, yours
from commissions.sourcing.views.turning import plot, strike, turn

__all__ = [
    "add_photo",
    "ask_same",
    "check_in",
    "choose",
    "condition",
    "condition_pdf",
    "hand_over",
    "held",
    "lot",
    "lots",
    "of_commission",
    "offer",
    "photo_file",
    "plot",
    "stones",
    "strike",
    "turn",
    "yours",
    "yours_condition",
    "yours_condition_pdf",
    "yours_photo",
    "yours_same",
]
