"""The places of a drawing that have a name, so that one can be chosen by word instead of by a tap."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from commissions.design import drawings
from commissions.design.models import Revision, View
from gemcalc.drawing.scene import Box, Scene, bounds
from gemcalc.drawing.shapes import edge, middle

WINDS = ["n", "ne", "e", "se", "s", "sw", "w", "nw"]
WIND_WORDS = {
    "n": gettext_lazy("north"),
    "ne": gettext_lazy("north-east"),
    "e": gettext_lazy("east"),
    "se": gettext_lazy("south-east"),
    "s": gettext_lazy("south"),
    "sw": gettext_lazy("south-west"),
    "w": gettext_lazy("west"),
    "nw": gettext_lazy("north-west"),
}
WORDS = {
    "centre": gettext_lazy("middle of the stone"),
    "table": gettext_lazy("top of the stone"),
    "culet": gettext_lazy("lower tip of the stone"),
    "halo-left": gettext_lazy("halo, left"),
    "halo-right": gettext_lazy("halo, right"),
    "claw-left": gettext_lazy("left claw"),
    "claw-right": gettext_lazy("right claw"),
    "gallery": gettext_lazy("gallery under the stone"),
    "shoulder-left": gettext_lazy("band, left shoulder"),
    "shoulder-right": gettext_lazy("band, right shoulder"),
    "band-left": gettext_lazy("band, left side"),
    "band-right": gettext_lazy("band, right side"),
    "base": gettext_lazy("band, bottom"),
    "inside": gettext_lazy("inside of the band"),
    "foot": gettext_lazy("where the head meets the finger"),
}
SCENES: dict[str, Callable[[Revision], Scene]] = {
    View.TOP: drawings.for_client,
    View.FRONT: drawings.front_for_client,
    View.SIDE: drawings.side_for_client,
}


@dataclass(frozen=True, kw_only=True)
class Place:
    """A named place of a drawing, mm in the drawing's own coordinates, y up."""

    key: str
    x: float
    y: float

    @property
    def words(self) -> str:
        """The name in the reader's tongue."""
        return place_words(self.key)


def place_words(key: str) -> str:
    """The name of a place from its key."""
    kind, _colon, rest = key.partition(":")
    if kind == "halo":
        return _("halo, %(wind)s") % {"wind": WIND_WORDS[rest]}
    if kind == "claw" and rest in WIND_WORDS:
        return _("%(wind)s claw") % {"wind": WIND_WORDS[rest]}
    if kind == "claw":
        return _("claw %(number)s, counted clockwise from north") % {"number": rest}
    return str(WORDS[key])


def scene_of(revision: Revision, view: str) -> Scene:
    """The drawing that is commented on."""
    return SCENES[view](revision)


def places(revision: Revision, view: str) -> list[Place]:
    """The named places of one view of a revision."""
    if view == View.TOP:
        return list(_top(revision))
    scene = scene_of(revision, view)
    return list(_front(scene, revision) if view == View.FRONT else _side(scene))


def nearest(found: list[Place], x: float, y: float) -> Place:
    """The named place nearest to (x, y), mm."""
    return min(found, key=lambda place: math.hypot(place.x - x, place.y - y))


def _wind(degrees: float) -> str:
    """The wind toward which an angle points, anticlockwise from +x."""
    return WINDS[round((90 - degrees) % 360 / 45) % 8]


def _top(revision: Revision) -> Iterator[Place]:
    outline = revision.parameters["centre"]["outline"]
    x0, y0 = middle(outline)
    yield Place(key="centre", x=x0, y=y0)
    angles = sorted(revision.parameters["claws"]["angles_deg"], key=lambda angle: (90 - angle) % 360)
    winds = [_wind(angle) for angle in angles]
    for number, angle in enumerate(angles, start=1):
        x, y = edge(outline, (x0, y0), angle)
        key = winds[number - 1] if len(set(winds)) == len(winds) else str(number)
        yield Place(key=f"claw:{key}", x=x, y=y)
    stones = (revision.outputs.get("layout") or {}).get("stones") or []
    for place, wind in enumerate(WINDS):
        if not stones:
            return
        toward = math.radians(90 - 45 * place)
        stone = max(
            stones,
            key=lambda row: (
                (row["x_mm"] * math.cos(toward) + row["y_mm"] * math.sin(toward))
                / math.hypot(row["x_mm"], row["y_mm"])
            ),
        )
        yield Place(key=f"halo:{wind}", x=stone["x_mm"], y=stone["y_mm"])


def _box(scene: Scene, kind: str) -> Box | None:
    items = [item for item in scene.items if item.kind == kind]
    return bounds(items) if items else None


def _head(scene: Scene) -> Iterator[Place]:
    stone = _box(scene, "girdle")
    if stone is None:
        return
    middle_x = (stone[0] + stone[2]) / 2
    yield Place(key="table", x=middle_x, y=stone[3])
    for kind, name in (("melee", "halo"), ("claw", "claw")):
        box = _box(scene, kind)
        if box:
            yield Place(key=f"{name}-left", x=box[0], y=(box[1] + box[3]) / 2)
            yield Place(key=f"{name}-right", x=box[2], y=(box[1] + box[3]) / 2)
    yield Place(key="culet", x=middle_x, y=stone[1])


def _front(scene: Scene, revision: Revision) -> Iterator[Place]:
    yield from _head(scene)
    shank = drawings.shank_of(revision)
    inner = shank.inside_diameter_mm / 2
    stone = _box(scene, "girdle")
    yield Place(key="gallery", x=0.0, y=(inner + (stone[1] if stone else inner)) / 2)
    half = inner + (shank.thickness_mm + shank.back_mm) / 4
    for sign, side in ((-1, "left"), (1, "right")):
        yield Place(key=f"shoulder-{side}", x=sign * half * 0.643, y=half * 0.766)
        yield Place(key=f"band-{side}", x=sign * half, y=0.0)
    yield Place(key="base", x=0.0, y=-inner - shank.back_mm / 2)
    yield Place(key="inside", x=0.0, y=-0.85 * inner)


def _side(scene: Scene) -> Iterator[Place]:
    yield from _head(scene)
    metal, stone = _box(scene, "metal"), _box(scene, "girdle")
    if metal and stone:
        middle_x = (stone[0] + stone[2]) / 2
        yield Place(key="gallery", x=middle_x, y=(metal[1] + stone[1]) / 2)
        yield Place(key="foot", x=middle_x, y=metal[1])
