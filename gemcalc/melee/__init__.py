"""Melee: sieve plates, millimetres and carats, and lots held against the scale."""

from gemcalc.melee.lots import (
    LotCheck,
    check_lot,
    count_in_weight,
    diameter_spread_mm,
    mean_weight_ct,
    weight_of_count_ct,
)
from gemcalc.melee.plates import PLATES, Plate
from gemcalc.melee.sizes import MeleeSize, melee_of_diameter, melee_of_sieve, plate_named, plate_of_diameter

__all__ = [
    "PLATES",
    "LotCheck",
    "MeleeSize",
    "Plate",
    "check_lot",
    "count_in_weight",
    "diameter_spread_mm",
    "mean_weight_ct",
    "melee_of_diameter",
    "melee_of_sieve",
    "plate_named",
    "plate_of_diameter",
    "weight_of_count_ct",
]
