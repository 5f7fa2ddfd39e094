"""Reads of the stones' room."""

from commissions.sourcing.queries.checking import check_ins, photo_of, photos_of, shots_missing
from commissions.sourcing.queries.stones import (
    GONE,
    HERE,
    bundle_part,
    chosen,
    client_is_asked,
    compared,
    exposure,
    held_by,
    here,
    memo,
    newest_check_in,
    piece_part,
    report_of,
    seats_without_stone,
    stones_of,
)
from commissions.sourcing.queries.turning import marks, orientation, outline_of_stone, plot, turned

__all__ = [
    "GONE",
    "HERE",
    "bundle_part",
    "check_ins",
    "chosen",
    "client_is_asked",
    "compared",
    "exposure",
    "held_by",
    "here",
    "marks",
    "memo",
    "newest_check_in",
    "orientation",
    "outline_of_stone",
    "photo_of",
    "photos_of",
    "piece_part",
    "plot",
    "report_of",
    "seats_without_stone",
    "shots_missing",
    "stones_of",
    "turned",
]
