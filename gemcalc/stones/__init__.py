"""
Stones: weight from millimetres and back, reports, and how a weight may be written.

`gemcalc.stones.arrays` holds the same figures for many stones at once; it alone needs numpy.
"""

from gemcalc.stones.carats import (
    carats_typed,
    grams_from_carats,
    trade_grains,
    troy_grains_from_carats,
)
from gemcalc.stones.crosscheck import ReportCheck, check_report
from gemcalc.stones.cuts import CUTS
from gemcalc.stones.face import face_area_mm2, same_face_round_mm
from gemcalc.stones.factors import cut_named, factor_at
from gemcalc.stones.girdle import GIRDLES, girdle_multiplier
from gemcalc.stones.report import (
    depth_from_percent,
    depth_percent,
    length_to_width,
    mean_diameter_mm,
    spread_percent,
    table_percent,
)
from gemcalc.stones.size import SizeEstimate, diameter_by_law, size_from_weight
from gemcalc.stones.species import SPECIES, species_named
from gemcalc.stones.weight import WeightEstimate, weight_from_measures
from gemcalc.stones.wording import (
    carat_display,
    fraction_statement,
    may_state,
    points,
    points_statement,
)

__all__ = [
    "CUTS",
    "GIRDLES",
    "SPECIES",
    "ReportCheck",
    "SizeEstimate",
    "WeightEstimate",
    "carat_display",
    "carats_typed",
    "check_report",
    "cut_named",
    "depth_from_percent",
    "depth_percent",
    "diameter_by_law",
    "face_area_mm2",
    "factor_at",
    "fraction_statement",
    "girdle_multiplier",
    "grams_from_carats",
    "length_to_width",
    "may_state",
    "mean_diameter_mm",
    "points",
    "points_statement",
    "same_face_round_mm",
    "size_from_weight",
    "species_named",
    "spread_percent",
    "table_percent",
    "trade_grains",
    "troy_grains_from_carats",
    "weight_from_measures",
]
