"""
The largest bare spot: the largest circle that fits between centre, stones and target.

An empty corner breaks no gap rule and is the first thing an eye sees.
Without a target its middle must lie inside the chain, the polygon through the centres of the outer row.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import numpy.typing as npt

from gemcalc.halo.outline import Girdle

Floats = npt.NDArray[np.float64]

COARSEST_MM = 0.12
HALF_DIAGONAL = 0.7072
EXACT_MM = 5e-5


def within_chain(x: Floats, y: Floats, cx: Floats, cy: Floats) -> npt.NDArray[np.bool_]:
    """Whether points lie inside the polygon through (cx, cy)."""
    ax, ay, bx, by = cx[None], cy[None], np.roll(cx, -1)[None], np.roll(cy, -1)[None]
    px, py = x[:, None], y[:, None]
    rise = np.where(by == ay, 1.0, by - ay)
    crosses = ((ay > py) != (by > py)) & (px < ax + (py - ay) / rise * (bx - ax))
    return np.asarray(np.count_nonzero(crosses, axis=1) % 2 == 1)


def chain_depth(x: Floats, y: Floats, cx: Floats, cy: Floats) -> Floats:
    """How deep points lie inside the polygon through (cx, cy), mm; negative outside."""
    ax, ay = cx[None], cy[None]
    dx, dy = np.roll(cx, -1)[None] - ax, np.roll(cy, -1)[None] - ay
    px, py = x[:, None] - ax, y[:, None] - ay
    share = np.clip((px * dx + py * dy) / (dx * dx + dy * dy), 0.0, 1.0)
    away = np.min(np.hypot(px - share * dx, py - share * dy), axis=1)
    return np.asarray(np.where(within_chain(x, y, cx, cy), away, -away))


def largest_bare(
    *,
    centre: Girdle,
    target: Girdle | None,
    x: Floats,
    y: Floats,
    radii: Floats,
    outer: npt.NDArray[np.bool_],
    beyond: float = 0.0,
) -> tuple[float, float, float]:
    """
    Largest circle that fits: its radius and its centre, mm.

    Args:
        centre: The centre stone.
        target: The outline to be filled, or None.
        x, y, radii: All stones.
        outer: Which of them belong to the outer row, in order round it.
        beyond: Only circles larger than this are looked for, and the first one found will do, if above nought.

    Returns:
        Radius (nought where there is no room at all), x, y; exact to less than 0.1 micron.

    Source:
        exact-geometry
    """
    ox, oy = x[outer], y[outer]

    dented = not centre.convex

    def room(px: Floats, py: Floats, least: float, reach: float) -> tuple[Floats, Floats]:
        """Radius of the circle that fits about each point, and what a near-by point could still hope for."""
        hope = np.min(np.hypot(px[:, None] - x, py[:, None] - y) - radii, axis=1)
        # The outlines cost most: only where the stones leave room for something better are they asked.
        for girdle, sign in ((centre, -1.0), (target, 1.0)):
            if girdle is None:
                continue
            open_to = np.flatnonzero(hope > least)
            away = sign * girdle.nearest(px[open_to], py[open_to])[0]
            if dented and girdle is centre:
                within = within_chain(px[open_to], py[open_to], centre.x[::20], centre.y[::20])
                away = np.where(within, -np.abs(away), away)
            hope[open_to] = np.minimum(hope[open_to], away)
        if target is not None:
            return hope, hope
        # Without a target the middle of the circle must lie inside the chain; how deep does not matter.
        near = np.flatnonzero(hope > least)
        depth = chain_depth(px[near], py[near], ox, oy)
        value = np.full_like(hope, -1.0)
        value[near] = np.where(depth >= 0, hope[near], -1.0)
        # A square wholly outside the chain has nothing to hope for, however empty it is.
        hope[near[depth < -reach]] = -1.0
        return value, hope

    edge_x, edge_y = (ox, oy) if target is None else (target.x, target.y)
    side = max(COARSEST_MM, float(np.min(radii)) / 2)
    gx, gy = np.meshgrid(
        np.arange(np.min(edge_x), np.max(edge_x) + side, side),
        np.arange(np.min(edge_y), np.max(edge_y) + side, side),
    )
    return _narrow(room, gx.ravel(), gy.ravel(), side, beyond)


def _narrow(
    room: Callable[[Floats, Floats, float, float], tuple[Floats, Floats]],
    px: Floats,
    py: Floats,
    side: float,
    beyond: float,
) -> tuple[float, float, float]:
    """Squares about (px, py): those that cannot hold a larger circle than the best found go, the rest is quartered."""
    best, x, y = beyond, 0.0, 0.0
    while len(px):
        reach = side * HALF_DIAGONAL
        # No circle grows faster than its middle moves, so what a square can hold is known from its middle.
        value, hope = room(px, py, best - reach, reach)
        top = int(np.argmax(value))
        if value[top] > best:
            best, x, y = float(value[top]), float(px[top]), float(py[top])
            if beyond > 0:
                break
        kept = hope + reach > best + EXACT_MM
        side /= 2
        px = (px[kept][:, None] + side / 2 * np.array([-1.0, 1.0, -1.0, 1.0])).ravel()
        py = (py[kept][:, None] + side / 2 * np.array([-1.0, -1.0, 1.0, 1.0])).ravel()
    return best, x, y
