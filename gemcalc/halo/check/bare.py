"""The largest circle that fits between centre, stones and target, found by dropping squares."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt
import shapely

if TYPE_CHECKING:
    from gemcalc.halo.check.chain import Measured

Floats = npt.NDArray[np.float64]

CLOSE_MM = 5e-5
"""How far the answer may fall short of the truth, mm."""


def largest_circle(measured: Measured) -> tuple[float, float, float]:
    """
    Middle (x, y) and radius of the largest circle that touches no stone, mm.

    The radius is good to 0.05 µm, and 0 when there is no room at all; of several equal ones it is any.

    With a target the circle lies between centre and target.
    Without one its middle lies inside the outer chain.

    The room left round a point cannot change by more than the point moves.
    A square whose middle has room r therefore holds nothing larger than r plus its half diagonal.
    Squares that cannot beat the best middle found are dropped, the others are quartered.
    """
    bounds = measured.target.polygon.bounds if measured.target else measured.outer.polygon.bounds
    side = max(0.12, float(measured.radius.min()) / 2)
    middles = _mesh(bounds, side)
    best, where = 0.0, (0.0, 0.0)
    chain = measured.outer.polygon
    shapely.prepare(chain)
    while len(middles):
        reach = side * math.sqrt(0.5)
        room = _room(measured, middles, best - reach)
        allowed = room
        if measured.target is None:
            inside = shapely.contains_xy(chain, middles[:, 0], middles[:, 1])
            allowed = np.where(inside, room, -np.inf)
            near = inside | (shapely.distance(chain, shapely.points(middles)) <= reach)
            room = np.where(near, room, -np.inf)
        widest = int(allowed.argmax())
        if allowed[widest] > best:
            best, where = float(allowed[widest]), (float(middles[widest, 0]), float(middles[widest, 1]))
        kept = middles[room + reach > best + CLOSE_MM]
        corners = side / 4 * np.array([(-1.0, -1.0), (1.0, -1.0), (-1.0, 1.0), (1.0, 1.0)])
        middles = (kept[:, None, :] + corners[None, :, :]).reshape(-1, 2)
        side /= 2
    return (*where, best)


def _mesh(bounds: tuple[float, float, float, float], side: float) -> Floats:
    left, low, right, high = bounds
    xs = np.arange(left + side / 2, right + side, side)
    ys = np.arange(low + side / 2, high + side, side)
    return np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)


def _room(measured: Measured, points: Floats, least: float) -> Floats:
    """Room left round each point, mm; where the stones leave no more than *least* it may be given too large."""
    dx = points[:, None, 0] - measured.at[None, :, 0]
    dy = points[:, None, 1] - measured.at[None, :, 1]
    room = np.asarray((np.sqrt(dx * dx + dy * dy) - measured.radius).min(axis=1))
    # The outlines are asked only where the stones leave enough room: their distances cost more.
    open_to = np.flatnonzero(room > least)
    room[open_to] = np.minimum(room[open_to], measured.centre.signed(points[open_to]))
    if measured.target is not None:
        open_to = np.flatnonzero(room > least)
        room[open_to] = np.minimum(room[open_to], -measured.target.signed(points[open_to]))
    return room
