"""Time of single figures and of many stones at once."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from gemcalc.melee import check_lot, melee_of_diameter
from gemcalc.ring_of_stones import ring_of_stones
from gemcalc.rings import ring_of_size
from gemcalc.stones import carat_display, size_from_weight, weight_from_measures
from gemcalc.stones.arrays import weights_ct

ROUNDS_IN_SET = 53_940

SINGLE: tuple[tuple[str, Callable[..., Any], dict[str, Any]], ...] = (
    (
        "weight, round",
        weight_from_measures,
        {"cut": "round", "length_mm": 6.5, "width_mm": 6.5, "depth_mm": 4.0},
    ),
    (
        "weight, oval sapphire, thick girdle",
        weight_from_measures,
        {
            "cut": "oval",
            "length_mm": 8.0,
            "width_mm": 6.0,
            "depth_mm": 4.0,
            "species": "sapphire",
            "girdle": "thick",
        },
    ),
    ("size, pear", size_from_weight, {"cut": "pear", "weight_ct": 1.2}),
    ("carat as shown", carat_display, {"weight_ct": "1.769"}),
    ("melee", melee_of_diameter, {"diameter_mm": 1.3}),
    ("lot against the scale", check_lot, {"count": 120, "weight_ct": 1.14, "diameter_mm": 1.3}),
    ("ring size", ring_of_size, {"system": "uk", "size": "M 1/2"}),
    (
        "ring of stones",
        ring_of_stones,
        {"centre_diameter_mm": 6.5, "melee_diameter_mm": 1.3, "clearance_mm": 0.15, "gap_mm": 0.1},
    ),
)


def best_seconds(*, work: Callable[[], Any], runs: int, repeats: int) -> float:
    """
    Shortest time of one run of *work*, s.

    Args:
        work: What to run.
        runs: How often in one go.
        repeats: How many goes; the quickest counts.

    Returns:
        Seconds for one run.

    Source:
        exact-geometry
    """
    times = []
    for _ in range(repeats):
        begun = time.perf_counter()
        for _ in range(runs):
            work()
        times.append((time.perf_counter() - begun) / runs)
    return min(times)


def lines() -> Iterator[str]:
    """
    Lines to print: microseconds of each single figure, milliseconds of a whole list of stones.

    Source:
        plotnine-diamonds
    """
    for name, figure, arguments in SINGLE:
        seconds = best_seconds(
            work=lambda figure=figure, arguments=arguments: figure(**arguments),  # type: ignore[misc]
            runs=2_000,
            repeats=5,
        )
        yield f"{name:<40} {1e6 * seconds:8.1f} µs"
    words, (length, width, depth, table) = _stones()
    for name, tables in (("plain factor", None), ("fitted factor", table)):
        seconds = best_seconds(
            work=lambda tables=tables: weights_ct(  # type: ignore[misc]
                cut="round", length_mm=length, width_mm=width, depth_mm=depth, table_pct=tables
            ),
            runs=3,
            repeats=5,
        )
        yield f"{len(length):,} rounds at once, {name:<17} {1e3 * seconds:8.2f} ms ({words})"


def _stones() -> tuple[str, tuple[NDArray[np.float64], ...]]:
    """Measures of the open set where it is installed, else as many made-up ones of the same sizes."""
    try:
        from plotnine.data import diamonds
    except ImportError:
        chance = np.random.default_rng(7)
        width = chance.uniform(3.8, 9.0, ROUNDS_IN_SET)
        length = width * chance.uniform(1.0, 1.02, ROUNDS_IN_SET)
        depth = width * chance.uniform(0.58, 0.65, ROUNDS_IN_SET)
        return "made-up measures", (length, width, depth, chance.uniform(53, 62, ROUNDS_IN_SET))
    measured = diamonds[(diamonds.x > 0) & (diamonds.y > 0) & (diamonds.z > 0)]
    columns = tuple(measured[name].to_numpy(float) for name in ("x", "y", "z", "table"))
    return "the open set diamonds", columns
