"""An inner outline laid over a girdle: the gap all round in classes, with least, greatest and mean."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import shapely

from gemcalc.drawing import shapes
from gemcalc.drawing.scene import WIDE, Circle, Item, Path, Scene, bounds, finish, label, line
from gemcalc.errors import in_range
from gemcalc.halo.check import outlines

Floats = npt.NDArray[np.float64]

SAMPLES = 720


@dataclass(frozen=True, kw_only=True)
class GapFigures:
    """
    The gap between a girdle and the outline round it.

    Args:
        least_mm: Least gap, mm; negative where the stone would not go in.
        greatest_mm: Greatest gap, mm.
        mean_mm: Mean along the girdle, mm.
        least_at_deg: Where the least lies, degrees anticlockwise from +x.
        greatest_at_deg: Where the greatest lies.
        close_share: Share of the girdle where the gap is below the wanted range, 0 to 1.
        wide_share: Share where it is above.
    """

    least_mm: float
    greatest_mm: float
    mean_mm: float
    least_at_deg: float
    greatest_at_deg: float
    close_share: float
    wide_share: float


def gap_figures(
    *, girdle: Mapping[str, Any], inner: Mapping[str, Any], low_mm: float = 0.05, high_mm: float = 0.15
) -> GapFigures:
    """
    The gap from each of 720 places along the girdle to the nearest of the inner outline.

    Args:
        girdle: Outline of the stone.
        inner: Outline of the opening round it, about the same origin.
        low_mm: Gaps below this are close, mm.
        high_mm: Gaps above this are wide, mm.

    Raises:
        OutOfRange: the wanted range is upside down or out of reason.

    Source: exact-geometry.
    """
    return _figures(*_gaps(girdle, inner), low_mm=_ordered(low_mm, high_mm), high_mm=high_mm)


def gap_overlay(
    *,
    girdle: Mapping[str, Any],
    inner: Mapping[str, Any],
    low_mm: float = 0.05,
    high_mm: float = 0.15,
    title: str = "Opening over girdle",
) -> Scene:
    """
    The opening laid over the girdle, with a band all round whose tint and length tell the gap.

    The band is drawn outside the stone, several times as wide as the gap.
    It has three classes: close, right, wide.
    Least and greatest gap are marked where they lie.

    Args:
        girdle, inner, low_mm, high_mm: As for :func:`gap_figures`, which says what is refused.
        title: Words over the drawing.

    Source: exact-geometry.
    """
    points, gaps = _gaps(girdle, inner)
    figures = _figures(points, gaps, low_mm=_ordered(low_mm, high_mm), high_mm=high_mm)
    items: list[Item] = [shapes.outline_item(girdle, "girdle"), shapes.outline_item(inner, "inner")]
    box = bounds(items)
    extent = max(box[2] - box[0], box[3] - box[1])
    size = min(max(0.045 * extent + 0.14, 0.36), 1.2)
    # Five times as wide as the gap, or as much as leaves the stone the larger part of the sheet.
    times = min(5.0, 0.1 * extent / max(float(np.abs(gaps).max()), 1e-6))
    items = [*_bands(points, gaps, low_mm, high_mm, times), *items]
    taken: list[float] = []
    for place, word in ((int(gaps.argmin()), "least"), (int(gaps.argmax()), "greatest")):
        items += _callout(points, place, f"{word} {gaps[place]:.3f}", size, taken)
    level = bounds(items)[1] - 1.5 * size
    items += _key(figures, times, low_mm, high_mm, (box[0] + box[2]) / 2, level, size)
    described = (
        f"Gap least {figures.least_mm:.3f} mm at {figures.least_at_deg:.0f} degrees, "
        f"greatest {figures.greatest_mm:.3f} mm at {figures.greatest_at_deg:.0f} degrees, "
        f"mean {figures.mean_mm:.3f} mm."
    )
    return finish(items, title=title, description=described, margin=0.6 * size, weight=max(0.5, extent / 9.3))


def _ordered(low: float, high: float) -> float:
    in_range(field="high_mm", value=high, low=0.0, high=5.0)
    return in_range(field="low_mm", value=low, low=-5.0, high=high)


def _gaps(girdle: Mapping[str, Any], inner: Mapping[str, Any]) -> tuple[Floats, Floats]:
    ring = outlines.outline(girdle).polygon.exterior
    places = (np.arange(SAMPLES) + 0.5) / SAMPLES * ring.length
    points = shapely.get_coordinates(shapely.line_interpolate_point(ring, places))
    return points, -outlines.outline(inner).signed(points)


def _figures(points: Floats, gaps: Floats, *, low_mm: float, high_mm: float) -> GapFigures:
    angle = np.degrees(np.arctan2(points[:, 1], points[:, 0])) % 360
    return GapFigures(
        least_mm=float(gaps.min()),
        greatest_mm=float(gaps.max()),
        mean_mm=float(gaps.mean()),
        least_at_deg=float(angle[gaps.argmin()]),
        greatest_at_deg=float(angle[gaps.argmax()]),
        close_share=float((gaps < low_mm).mean()),
        wide_share=float((gaps > high_mm).mean()),
    )


def _class(gap: float, low: float, high: float) -> str:
    return "gap-close" if gap < low else "gap-wide" if gap > high else "gap-right"


def _bands(points: Floats, gaps: Floats, low: float, high: float, times: float) -> list[Item]:
    """One band for each run of the girdle in the same class."""
    ahead = np.roll(points, -1, axis=0) - np.roll(points, 1, axis=0)
    ahead /= np.hypot(ahead[:, 0], ahead[:, 1])[:, None]
    area = float((points[:, 0] * np.roll(points[:, 1], -1) - np.roll(points[:, 0], -1) * points[:, 1]).sum())
    out = np.stack([ahead[:, 1], -ahead[:, 0]], axis=1) * math.copysign(1.0, area)
    tips = points + out * (np.abs(gaps) * times + 0.06)[:, None]
    kinds = [_class(float(gap), low, high) for gap in gaps]
    # Begin where a class begins, so that no run is cut in two at the seam.
    first = next((k for k in range(SAMPLES) if kinds[k] != kinds[k - 1]), 0)
    order = [(first + k) % SAMPLES for k in range(SAMPLES)]
    runs: list[list[int]] = []
    for place in order:
        if not runs or kinds[place] != kinds[runs[-1][0]]:
            runs.append([])
        runs[-1].append(place)
    items: list[Item] = []
    for run in runs:
        whole = [*run, (run[-1] + 1) % SAMPLES]
        edge = [(*points[k], 0.0) for k in whole] + [(*tips[k], 0.0) for k in reversed(whole)]
        items.append(Path(kinds[run[0]], tuple((float(x), float(y), b) for x, y, b in edge), closed=True))
    return items


def _callout(points: Floats, place: int, text: str, size: float, taken: list[float]) -> list[Item]:
    x, y = float(points[place, 0]), float(points[place, 1])
    right = x >= 0
    far = float(np.abs(points[:, 0]).max()) + 1.6 * size
    level = y
    # Two words on one side keep a line's height apart.
    while any(abs(level - other) < 1.4 * size for other in taken):
        level += 0.7 * size
    taken.append(level)
    at = far if right else -far
    ends = ((x, y), (at, level))
    anchor = "start" if right else "end"
    return [
        Circle("gap", x, y, 0.14 * size),
        line("dim", *ends),
        label(text, at + (0.3 if right else -0.3) * size, level, size, anchor=anchor, middle=True),
    ]


def _key(
    f: GapFigures, times: float, low: float, high: float, middle: float, level: float, size: float
) -> list[Item]:
    rows = [("", f"mean {f.mean_mm:.3f}; band {times:.1f} times as wide")]
    if f.close_share:
        rows.append(("gap-close", f"below {low:.2f}: {100 * f.close_share:.0f} % of the girdle"))
    rows.append(("gap-right", f"{low:.2f} to {high:.2f}: {100 * (1 - f.close_share - f.wide_share):.0f} %"))
    if f.wide_share:
        rows.append(("gap-wide", f"above {high:.2f}: {100 * f.wide_share:.0f} % of the girdle"))
    widest = max(len(text) for _, text in rows) * WIDE * size + 1.5 * size
    left = middle - widest / 2
    items: list[Item] = []
    for kind, text in rows:
        if kind:
            low_y, high_y = level - 0.05 * size, level + 0.7 * size
            box = ((left, low_y), (left + size, low_y), (left + size, high_y), (left, high_y))
            items.append(line(kind, *box, closed=True))
        items.append(label(text, left + 1.5 * size, level, size, anchor="start", kind="note"))
        level -= 1.4 * size
    return items
