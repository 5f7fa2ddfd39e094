"""Pages of the stones' room."""

from commissions.sourcing.views.checking import add_photo, check_in, hand_over, held, photo_file
from commissions.sourcing.views.stones import choose, of_commission, offer, stones, yours
from commissions.sourcing.views.turning import plot, strike, turn

__all__ = [
    "add_photo",
    "check_in",
    "choose",
    "hand_over",
    "held",
    "of_commission",
    "offer",
    "photo_file",
    "plot",
    "stones",
    "strike",
    "turn",
    "yours",
]
