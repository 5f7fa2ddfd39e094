"""Lists as they are typed on the fit page: the drawer, rays, corners; and how they are written back."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from gemcalc.errors import BadInput
from gemcalc.halo.case import size_label
from gemcalc.marks import angle_from_clock

MOST_CORNERS = 400
"""Corners of an outline that an address can carry."""

_SIZE = re.compile(
    r"(?P<size>[0-9]{1,2}(?:[.,][0-9]{1,4})?|[.,][0-9]{1,4})\s*(?:mm)?(?:\s*[:×x=]\s*(?P<count>[0-9]{1,6}))?"
)
_BETWEEN = re.compile(r"[\s,;+]*")
_PAIR = re.compile(
    r"\(?\s*(?P<x>-?[0-9]{1,3}(?:\.[0-9]{1,8})?)\s*[,\s]\s*(?P<y>-?[0-9]{1,3}(?:\.[0-9]{1,8})?)\s*\)?"
)
CORNERS = (45.0, 135.0, 225.0, 315.0)


def drawer_typed(text: str) -> tuple[list[float], dict[str, int] | None]:
    """
    Stocked diameters, mm, and how many of each, or None where no counts are given.

    Raises:
        BadInput: it cannot be read, or only some sizes have a count.

    >>> drawer_typed("1.2: 30, 1,3: 40")
    ([1.2, 1.3], {'1.20': 30, '1.30': 40})
    >>> drawer_typed("1.1 1.2; 1,25")
    ([1.1, 1.2, 1.25], None)
    """
    sizes: list[float] = []
    counts: dict[str, int] = {}
    place = _skip(text, 0)
    while place < len(text):
        found = _SIZE.match(text, place)
        if found is None:
            raise BadInput(
                f"cannot be read at “{text[place : place + 12]}”: write 1.2: 30, 1.3: 40",
                field="melee.sizes_mm",
            )
        size = float(found["size"].replace(",", "."))
        if size not in sizes:
            sizes.append(size)
        if found["count"]:
            counts[size_label(size)] = counts.get(size_label(size), 0) + int(found["count"])
        place = _skip(text, found.end())
    if counts and len(counts) < len(sizes):
        bare = next(size for size in sizes if size_label(size) not in counts)
        raise BadInput(f"has no count for {bare:g}: give every size a count, or none", field="melee.sizes_mm")
    return sizes, counts or None


def _skip(text: str, place: int) -> int:
    found = _BETWEEN.match(text, place)
    return found.end() if found else place


def drawer_written(melee: Mapping[str, object]) -> str:
    """The drawer as it stands in its box."""
    sizes, stock = melee["sizes_mm"], melee.get("stock")
    assert isinstance(sizes, list)
    if not isinstance(stock, Mapping):
        return " ".join(f"{size:g}" for size in sizes)
    return ", ".join(f"{size:g}: {stock.get(size_label(size), 0)}" for size in sizes)


def rays_typed(text: str) -> list[float]:
    """
    Directions, degrees anticlockwise from 3 o'clock, of clock positions, degrees or the word corners.

    Raises:
        BadInput: one of them cannot be read.

    >>> rays_typed("12, 3"), rays_typed("corners")[:2], rays_typed("30°")
    ([90.0, 0.0], [45.0, 135.0], [30.0])
    """
    rays: list[float] = []
    for part in re.split(r"\s*[,;]\s*|\s+and\s+|(?<=\d)\s+(?=\d)", text.strip()):
        if not part:
            continue
        if part.lower() in ("corners", "corner"):
            rays += CORNERS
        elif part.endswith("°"):
            try:
                rays.append(float(part[:-1].replace(",", ".")))
            except ValueError:
                raise BadInput(f"cannot be read at “{part[:12]}”", field="rules.stone_on_deg") from None
        else:
            try:
                rays.append(angle_from_clock(clock=part))
            except BadInput as error:
                raise BadInput(error.message, field="rules.stone_on_deg") from None
    return rays


def rays_written(rays: Sequence[float]) -> str:
    """Rays as they stand in their box: clock positions where they fall on whole minutes."""
    if tuple(rays) == CORNERS:
        return "corners"
    parts = []
    for ray in rays:
        minutes = (90.0 - ray) % 360 * 2
        if abs(minutes - round(minutes)) < 1e-9:
            hours, minute = divmod(round(minutes) % 720, 60)
            parts.append(f"{hours or 12}" + (f":{minute:02d}" if minute else ""))
        else:
            parts.append(f"{ray:g}°")
    return ", ".join(parts)


def corners_typed(text: str) -> list[list[float]]:
    """
    Corners of an outline, mm: pairs with a comma or one pair a line.

    Raises:
        BadInput: it cannot be read, or there are too many.

    >>> corners_typed("0,1 -1,-1 1.5,-1")
    [[0.0, 1.0], [-1.0, -1.0], [1.5, -1.0]]
    """
    points: list[list[float]] = []
    place = _skip(text, 0)
    while place < len(text):
        found = _PAIR.match(text, place)
        if found is None:
            raise BadInput(
                f"cannot be read at “{text[place : place + 12]}”: write x,y x,y in mm",
                field="centre.points_mm",
            )
        points.append([float(found["x"]), float(found["y"])])
        if len(points) > MOST_CORNERS:
            raise BadInput(
                f"has more than {MOST_CORNERS} corners: thin it out first", field="centre.points_mm"
            )
        place = _skip(text, found.end())
    return points


def corners_written(points: Sequence[Sequence[float]]) -> str:
    """Corners as they stand in their box, to a tenth of a micron."""
    return " ".join(f"{round(x, 4):g},{round(y, 4):g}" for x, y in points)
