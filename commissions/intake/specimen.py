"""The ring on the front page: a plan that our own figures give, not a picture of a ring that was made."""

from __future__ import annotations

import math
from functools import cache

from gemcalc.drawing import TopOptions, fragment, top_view

CENTRE_MM, STONE_MM, CLEARANCE_MM, COUNT = 6.5, 1.3, 0.2, 18
BEADS = 13
BARE = TopOptions(
    numbers=False, centre_size=False, overall=False, beads=False, gaps=False, target=False, sizes=False,
    check_bar=False, north=False,
)  # fmt: skip


@cache
def drawing() -> str:
    """The plan as SVG shapes, mm, origin in the middle: a round of 6.5 mm in a halo of eighteen of 1.3 mm."""
    radius = (CENTRE_MM + STONE_MM) / 2 + CLEARANCE_MM
    stones = [
        {
            "x_mm": radius * math.sin(2 * math.pi * place / COUNT),
            "y_mm": radius * math.cos(2 * math.pi * place / COUNT),
            "diameter_mm": STONE_MM,
            "row": 1,
        }
        for place in range(COUNT)
    ]
    case = {"centre": {"cut": "round", "diameter_mm": CENTRE_MM}, "target": None}
    return fragment(top_view(case, {"stones": stones}, options=BARE))


@cache
def beads() -> list[tuple[float, float]]:
    """Places of the thirteen beads round the plan, from north clockwise, in the plan's own units."""
    turns = [2 * math.pi * place / BEADS for place in range(BEADS)]
    return [(7.0 * math.sin(turn), -7.0 * math.cos(turn)) for turn in turns]
