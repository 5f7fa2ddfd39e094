"""A drawing as plain things in mm, y up: circles, ellipses, paths of lines and arcs, text."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

Point = tuple[float, float]
Vertex = tuple[float, float, float]

WIDE = 0.54
"""Width of a letter as a share of its size, on the generous side so that nothing is cut off."""


@dataclass(frozen=True)
class Circle:
    """A true circle about (x, y), mm."""

    kind: str
    x: float
    y: float
    r: float


@dataclass(frozen=True)
class Ellipse:
    """An upright ellipse about (x, y) with half axes, mm."""

    kind: str
    x: float
    y: float
    rx: float
    ry: float


@dataclass(frozen=True)
class Path:
    """
    Lines and arcs in one go.

    Args:
        points: (x, y, bulge), mm; the bulge is the tangent of a quarter of the arc's angle to the next point,
            positive anticlockwise, 0 for a straight line.
        closed: Whether the last point runs on to the first.
    """

    kind: str
    points: tuple[Vertex, ...]
    closed: bool = False


@dataclass(frozen=True)
class Lines:
    """Several polylines that belong together, such as the facets of one stone."""

    kind: str
    runs: tuple[tuple[Point, ...], ...]


@dataclass(frozen=True)
class Text:
    """A line of text, mm; *y* is its baseline, *anchor* is start, middle or end."""

    kind: str
    x: float
    y: float
    text: str
    size: float
    anchor: str = "start"

    @property
    def width(self) -> float:
        """Width, mm, as it is reckoned with."""
        return WIDE * self.size * len(self.text)


Item = Circle | Ellipse | Path | Lines | Text
Box = tuple[float, float, float, float]


@dataclass(frozen=True)
class Scene:
    """
    A finished drawing.

    Args:
        items: What is drawn, the first lowest.
        box: Left, bottom, right, top of the sheet, mm.
        title: What it is, in a few words.
        description: What it shows, for someone who cannot see it.
        weight: Thickness of lines as a multiple of the usual.
    """

    items: tuple[Item, ...]
    box: Box
    title: str
    description: str
    weight: float = 1.0

    @property
    def width_mm(self) -> float:
        """Width of the sheet, mm."""
        return self.box[2] - self.box[0]

    @property
    def height_mm(self) -> float:
        """Height of the sheet, mm."""
        return self.box[3] - self.box[1]


def line(kind: str, *points: Point, closed: bool = False) -> Path:
    """A path of straight lines."""
    return Path(kind, tuple((x, y, 0.0) for x, y in points), closed)


def label(
    text: str,
    x: float,
    y: float,
    size: float,
    *,
    anchor: str = "middle",
    kind: str = "dimt",
    middle: bool = False,
) -> Text:
    """Text at (x, y); with *middle* its figures are centred on *y* instead of standing on it."""
    return Text(kind, x, y - 0.33 * size if middle else y, text, size, anchor)


def bounds(items: Iterable[Item]) -> Box:
    """The least box round *items*, mm, with text reckoned generously."""
    boxes = [_box(item) for item in items]
    if not boxes:
        return (0.0, 0.0, 1.0, 1.0)
    return (
        min(box[0] for box in boxes),
        min(box[1] for box in boxes),
        max(box[2] for box in boxes),
        max(box[3] for box in boxes),
    )


def finish(
    items: Sequence[Item], *, title: str, description: str, margin: float, weight: float = 1.0
) -> Scene:
    """A scene of *items* on a sheet that leaves *margin* mm all round."""
    left, bottom, right, top = bounds(items)
    box = (left - margin, bottom - margin, right + margin, top + margin)
    return Scene(tuple(items), box, title, description, weight)


def moved(scene: Scene, dx: float, dy: float) -> Scene:
    """
    The same scene shifted by (dx, dy) mm.

    Args:
        scene: The drawing.
        dx, dy: Shift to the right and upwards, mm.
    """
    left, bottom, right, top = scene.box
    box = (left + dx, bottom + dy, right + dx, top + dy)
    return replace(scene, items=tuple(moved_item(item, dx, dy) for item in scene.items), box=box)


def beside(scenes: Sequence[Scene], *, gap_mm: float, title: str, description: str) -> Scene:
    """
    Scenes side by side at one scale, their middles level.

    Args:
        scenes: The drawings, from left to right.
        gap_mm: Distance between them, mm.
        title: Words over the whole.
        description: The whole in words.
    """
    items: list[Item] = []
    at, low, high = 0.0, 0.0, 0.0
    for scene in scenes:
        left, bottom, _, top = scene.box
        shifted = moved(scene, at - left, -(bottom + top) / 2)
        items.extend(shifted.items)
        low, high = min(low, shifted.box[1]), max(high, shifted.box[3])
        at = shifted.box[2] + gap_mm
    weight = max(scene.weight for scene in scenes)
    return Scene(tuple(items), (0.0, low, at - gap_mm, high), title, description, weight)


def bulge_of(angle: float) -> float:
    """Bulge of an arc that turns through *angle*, radians, anticlockwise."""
    return math.tan(angle / 4)


def arc_points(start: Vertex, end: Vertex, steps: int = 24) -> list[Point]:
    """Points along the arc from *start* to *end*, without the first."""
    (x0, y0, bulge), (x1, y1, _) = start, end
    if bulge == 0:
        return [(x1, y1)]
    dx, dy = x1 - x0, y1 - y0
    offset = (1 - bulge * bulge) / (4 * bulge)
    cx, cy = (x0 + x1) / 2 - offset * dy, (y0 + y1) / 2 + offset * dx
    radius, begin, turn = math.hypot(x0 - cx, y0 - cy), math.atan2(y0 - cy, x0 - cx), 4 * math.atan(bulge)
    angles = [begin + turn * k / steps for k in range(1, steps)]
    return [(cx + radius * math.cos(a), cy + radius * math.sin(a)) for a in angles] + [(x1, y1)]


def _box(item: Item) -> Box:
    if isinstance(item, Circle):
        return (item.x - item.r, item.y - item.r, item.x + item.r, item.y + item.r)
    if isinstance(item, Ellipse):
        return (item.x - item.rx, item.y - item.ry, item.x + item.rx, item.y + item.ry)
    if isinstance(item, Text):
        left = item.x - {"start": 0.0, "middle": 0.5, "end": 1.0}[item.anchor] * item.width
        return (left, item.y - 0.22 * item.size, left + item.width, item.y + 0.74 * item.size)
    points: list[Point] = []
    if isinstance(item, Lines):
        points = [point for run in item.runs for point in run]
    else:
        after = [*item.points[1:], *(item.points[:1] if item.closed else ())]
        points = [item.points[0][:2]]
        for start, end in zip(item.points, after, strict=False):
            points += arc_points(start, end)
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return (min(xs), min(ys), max(xs), max(ys))


def moved_item(item: Item, dx: float, dy: float) -> Item:
    """The same thing shifted by (dx, dy) mm."""
    if isinstance(item, Path):
        return replace(item, points=tuple((x + dx, y + dy, bulge) for x, y, bulge in item.points))
    if isinstance(item, Lines):
        return replace(item, runs=tuple(tuple((x + dx, y + dy) for x, y in run) for run in item.runs))
    return replace(item, x=item.x + dx, y=item.y + dy)
