"""Facet patterns seen from above, drawn faintly: true in their order, plausible in their measures."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

from gemcalc.drawing import shapes
from gemcalc.drawing.scene import Lines, Point

Data = Mapping[str, Any]
Run = tuple[Point, ...]

TABLE = 0.57
"""Table of a brilliant as a share of its width."""


def facet_lines(data: Data, kind: str = "facet") -> Lines:
    """
    The crown's facets of the stone *data*.

    An emerald cut gets steps, a princess its corner facets and chevrons.
    Every other cut gets a brilliant's table, stars, kites and upper girdle facets, stretched to its outline.
    """
    if data["cut"] == "emerald":
        return Lines(kind, tuple(_steps(data)))
    if data["cut"] == "princess":
        return Lines(kind, tuple(_princess(data)))
    return Lines(kind, tuple(_brilliant(data)))


def melee_lines(x: float, y: float, diameter: float, kind: str = "table") -> Lines:
    """Table and kites of a small brilliant at (x, y), mm: all that an eye finds in it."""
    radius = diameter / 2

    def at(degrees: float, share: float) -> Point:
        turn = math.radians(degrees)
        return x + share * radius * math.cos(turn), y + share * radius * math.sin(turn)

    table = tuple(at(45.0 * k, TABLE) for k in range(9))
    kites = [(at(45.0 * k, TABLE), at(45.0 * k + 22.5, 0.97)) for k in range(8)]
    kites += [(at(45.0 * k, TABLE), at(45.0 * k - 22.5, 0.97)) for k in range(8)]
    return Lines(kind, (table, *kites))


def _brilliant(data: Data) -> list[Run]:
    origin = shapes.middle(data)
    rim = {
        step: shapes.edge(data, origin, 22.5 * step, stretched=data["cut"] != "outline") for step in range(16)
    }
    notch = rim[4]

    if data["cut"] == "heart":
        # The table has no notch: its top edge runs straight between the lobes.
        rim[4] = (origin[0], (rim[2][1] + rim[6][1]) / 2)

    def at(step: int, share: float) -> Point:
        x, y = notch if step % 16 == 4 and share == 1.0 else rim[step % 16]
        return origin[0] + share * (x - origin[0]), origin[1] + share * (y - origin[1])

    inner = TABLE
    # Stars reach half way from the table's edge to the girdle.
    star = (1 + inner * math.cos(math.radians(22.5))) / 2
    runs: list[Run] = [tuple(at(2 * k, inner) for k in range(9))]
    for k in range(8):
        main, side, after = 2 * k, 2 * k + 1, 2 * k + 2
        runs.append((at(main, inner), at(side, star), at(after, inner)))
        runs.append((at(main, 1.0), at(side, star), at(after, 1.0)))
        runs.append((at(side, star), at(side, 1.0)))
    return runs


def _steps(data: Data) -> list[Run]:
    x, y = shapes.half_size(data)
    cut = float(data["corner_mm"])
    deepest = 0.37 * min(x, y)
    rings = []
    for share in (0.0, 0.34, 0.68, 1.0):
        inset = share * deepest
        # Moving every side in by the same amount shortens a corner cut at 45 degrees by 2 - sqrt 2 of it.
        corner = max(cut - inset * (2 - math.sqrt(2)), 0.25 * cut)
        rings.append(shapes.cut_box(x - inset, y - inset, corner))
    runs: list[Run] = [(*ring, ring[0]) for ring in rings[1:]]
    runs += [tuple(ring[place] for ring in rings) for place in range(8)]
    return runs


def _princess(data: Data) -> list[Run]:
    x, y = shapes.half_size(data)
    share = 0.66
    tx, ty = share * x, share * y
    table: Run = ((tx, ty), (-tx, ty), (-tx, -ty), (tx, -ty), (tx, ty))
    runs: list[Run] = [table]
    for sx, sy in ((1, 1), (-1, 1), (-1, -1), (1, -1)):
        runs.append(((sx * x, sy * y), (sx * tx, sy * ty)))
        # Kites at each corner meet the girdle a third of the way along both sides.
        runs.append(((sx * 0.36 * x, sy * y), (sx * tx, sy * ty), (sx * x, sy * 0.36 * y)))
    # The pavilion's chevrons show through the table.
    for along in (0.3, 0.62):
        runs.append(
            ((-along * tx, 0.0), (0.0, along * ty), (along * tx, 0.0), (0.0, -along * ty), (-along * tx, 0.0))
        )
    return runs
