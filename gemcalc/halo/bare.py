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

SEEDS_PER_STONE = 5
DEPTHS = 12
KEPT = 24
ZOOMS = 17


def within_chain(x: Floats, y: Floats, cx: Floats, cy: Floats) -> npt.NDArray[np.bool_]:
    """Whether points lie inside the polygon through (cx, cy)."""
    ax, ay, bx, by = cx[None], cy[None], np.roll(cx, -1)[None], np.roll(cy, -1)[None]
    px, py = x[:, None], y[:, None]
    rise = np.where(by == ay, 1.0, by - ay)
    crosses = ((ay > py) != (by > py)) & (px < ax + (py - ay) / rise * (bx - ax))
    return np.asarray(np.count_nonzero(crosses, axis=1) % 2 == 1)


def largest_bare(
    *,
    centre: Girdle,
    target: Girdle | None,
    x: Floats,
    y: Floats,
    radii: Floats,
    outer: npt.NDArray[np.bool_],
) -> tuple[float, float, float]:
    """
    Largest circle that fits: its radius and its centre, mm.

    Args:
        centre: The centre stone.
        target: The outline to be filled, or None.
        x, y, radii: All stones.
        outer: Which of them belong to the outer row, in order round it.

    Returns:
        Radius (nought where there is no room at all), x, y; exact to less than 0.1 micron.

    Source:
        exact-geometry
    """
    ox, oy = x[outer], y[outer]

    def room(px: Floats, py: Floats) -> Floats:
        stones = np.min(np.hypot(px[:, None] - x, py[:, None] - y) - radii, axis=1)
        # Without a target the middle of the circle must lie inside the chain; how deep does not matter.
        edge = (
            np.where(within_chain(px, py, ox, oy), np.inf, -1.0)
            if target is None
            else target.nearest(px, py)[0]
        )
        return np.minimum(np.minimum(stones, edge), -centre.nearest(px, py)[0])

    count = SEEDS_PER_STONE * len(ox)
    u = np.linspace(0.0, centre.length, count, endpoint=False)
    bx, by, nx, ny = centre.place(u, 0.0)
    # As deep as the halo goes: each ray from the girdle is seeded up to the edge of the space.
    depth = float(np.max(-centre.nearest(ox, oy)[0] + radii[outer]))
    levels = np.linspace(0.04, 1.0, DEPTHS) * (depth * 1.35)
    sx = (bx + levels[:, None] * nx).ravel()
    sy = (by + levels[:, None] * ny).ravel()
    value = room(sx, sy)
    spread = max(float(levels[1] - levels[0]), centre.length / count)
    return _zoom(room, sx, sy, value, spread)


def _zoom(
    room: Callable[[Floats, Floats], Floats], sx: Floats, sy: Floats, value: Floats, spread: float
) -> tuple[float, float, float]:
    order = np.argsort(-value, kind="stable")
    picked: list[int] = []
    for index in order[:200]:
        if all(np.hypot(sx[index] - sx[k], sy[index] - sy[k]) > 0.7 * spread for k in picked):
            picked.append(int(index))
        if len(picked) == KEPT:
            break
    cx, cy, best = sx[picked], sy[picked], value[picked]
    pattern = np.linspace(-1.0, 1.0, 5)
    gx, gy = (grid.ravel() for grid in np.meshgrid(pattern, pattern))
    for _ in range(ZOOMS):
        px, py = cx[:, None] + spread * gx, cy[:, None] + spread * gy
        values = room(px.ravel(), py.ravel()).reshape(px.shape)
        at = np.argmax(values, axis=1)
        rows = np.arange(len(cx))
        better = values[rows, at] > best
        cx, cy = np.where(better, px[rows, at], cx), np.where(better, py[rows, at], cy)
        best = np.where(better, values[rows, at], best)
        spread *= 0.5
    top = int(np.argmax(best))
    return max(0.0, float(best[top])), float(cx[top]), float(cy[top])
