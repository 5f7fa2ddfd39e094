"""Two revisions held against each other: what differs in plain words, and both drawings at one scale."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from django.utils.safestring import SafeString
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from commissions.design import drawings
from commissions.design.models import Revision
from commissions.design.queries import centre_measures
from gemcalc.drawing import Scene
from gemcalc.drawing.dimension import check_bar
from gemcalc.rings import ring_of_circumference

NEVER_MORE_THAN_MM = 0.005
"""Lengths that differ by less read the same to the hundredth."""


@dataclass(frozen=True, kw_only=True)
class Line:
    """One thing that is decided: its name, how it reads, and its length in mm where it is one."""

    name: str
    words: str
    mm: float | None = None


@dataclass(frozen=True, kw_only=True)
class Change:
    """What became different: before, after, and by how much where it is a length."""

    name: str
    before: str
    after: str
    by: str


@dataclass(frozen=True, kw_only=True)
class Comparison:
    """Two revisions: what changed, and the names of what stayed."""

    changes: list[Change]
    same: list[str]


def _mm(value: float) -> str:
    return _("%(length)s mm") % {"length": f"{value:.2f}"}


def size_words(circumference_mm: float) -> str:
    """A ring size as a client reads it: the inside in mm, and the two usual local sizes."""
    ring = ring_of_circumference(circumference_mm=circumference_mm)
    return _("%(mm)s mm round the inside (US %(us)s, UK %(uk)s)") % {
        "mm": f"{circumference_mm:.1f}",
        "us": ring.us_label,
        "uk": ring.uk_label,
    }


def lines_of(parameters: dict, layout: dict | None) -> list[Line]:
    """Everything that is decided about a ring, in the order in which one looks at it."""
    return list(_lines(parameters, layout))


def _lines(parameters: dict, layout: dict | None) -> Iterator[Line]:
    yield Line(
        name=_("Centre stone"), words=_("%(measures)s deep") % {"measures": centre_measures(parameters)}
    )
    yield from _halo(parameters, layout)
    claws = parameters["claws"]
    count = len(claws["angles_deg"])
    yield Line(name=_("Claws"), words=ngettext("%(count)d claw", "%(count)d claws", count) % {"count": count})
    yield _length(_("Thickness of the claws"), claws["wire_mm"])
    yield from _shank(parameters["shank"])
    yield Line(name=_("Ring size"), words=size_words(parameters["circumference_mm"]))
    yield Line(name=_("Metal"), words=parameters["metal"])
    yield Line(name=_("Engraving"), words=parameters.get("engraving") or _("none"))


def _length(name: str, mm: float) -> Line:
    return Line(name=name, words=_mm(mm), mm=mm)


def _halo(parameters: dict, layout: dict | None) -> Iterator[Line]:
    if not layout or not layout.get("feasible"):
        yield Line(name=_("Halo"), words=_("no halo"))
        return
    figures = layout["figures"]
    stones = ", ".join(
        _("%(count)d of %(size)s mm") % {"count": count, "size": size}
        for size, count in sorted(figures["counts"].items())
    )
    yield Line(name=_("Halo stones"), words=stones)
    yield _length(_("Width of the halo"), figures["width_mm"])
    yield _length(_("Length of the halo"), figures["length_mm"])
    yield _length(_("Room between stone and halo"), parameters["halo"]["rules"]["clearance_mm"])


def _shank(shank: dict) -> Iterator[Line]:
    yield Line(name=_("Shape of the band"), words=shank["profile"].replace("-", " "))
    yield _length(_("Width of the band at the top"), shank["width_mm"])
    yield _length(_("Width of the band at the back"), shank.get("width_end_mm") or shank["width_mm"])
    yield _length(_("Thickness of the band at the top"), shank["thickness_mm"])
    yield _length(
        _("Thickness of the band at the back"), shank.get("thickness_end_mm") or shank["thickness_mm"]
    )


def _by(before: Line | None, after: Line | None) -> str:
    if before is None or after is None or before.mm is None or after.mm is None:
        return ""
    less = after.mm < before.mm
    words = _("%(length)s mm less") if less else _("%(length)s mm more")
    return words % {"length": f"{abs(after.mm - before.mm):.2f}"}


def _differ(before: Line, after: Line) -> bool:
    if before.mm is not None and after.mm is not None:
        return abs(before.mm - after.mm) > NEVER_MORE_THAN_MM
    return before.words != after.words


def compare_lines(before: list[Line], after: list[Line]) -> Comparison:
    """What differs between two sets of lines; a line that only one of them has reads *none* in the other."""
    old, new = {row.name: row for row in before}, {row.name: row for row in after}
    changes, same = [], []
    for name in dict.fromkeys([*old, *new]):
        a, b = old.get(name), new.get(name)
        if a and b and not _differ(a, b):
            same.append(name)
            continue
        none = _("none")
        changes.append(
            Change(name=name, before=a.words if a else none, after=b.words if b else none, by=_by(a, b))
        )
    return Comparison(changes=changes, same=same)


def compare(before: Revision, after: Revision) -> Comparison:
    """What differs from one revision to another, in plain words with units."""
    return compare_lines(
        lines_of(before.parameters, before.outputs.get("layout")),
        lines_of(after.parameters, after.outputs.get("layout")),
    )


def same_sheet(left: Scene, right: Scene) -> tuple[Scene, Scene]:
    """
    Both scenes on a sheet of the same size about the same origin.

    Put into places of equal width they stand at one scale, whatever that width is.
    """
    box = (
        min(left.box[0], right.box[0]),
        min(left.box[1], right.box[1]),
        max(left.box[2], right.box[2]),
        max(left.box[3], right.box[3]),
    )
    weight = min(left.weight, right.weight)
    return replace(left, box=box, weight=weight), replace(right, box=box, weight=weight)


def with_bar(scene: Scene) -> Scene:
    """The scene with a bar of 10 mm under it, where its view has none of its own."""
    left, bottom, right, top = scene.box
    size = 0.04 * (right - left)
    bar = check_bar((left + right) / 2 - 5 - 1.5 * size, bottom - 0.8 * size, size)
    return replace(scene, items=(*scene.items, *bar), box=(left, bottom - 1.6 * size, right, top))


def _front(revision: Revision) -> Scene:
    return with_bar(drawings.front_for_client(revision))


@dataclass(frozen=True, kw_only=True)
class Pair:
    """One view of both revisions at one scale."""

    name: str
    left: SafeString
    right: SafeString


def pairs(left: Revision, right: Revision) -> list[Pair]:
    """Top and front of both revisions, each view on sheets of one size."""
    found = []
    for name, scene in ((_("From above"), drawings.for_client), (_("From the front"), _front)):
        a, b = same_sheet(scene(left), scene(right))
        found.append(Pair(name=name, left=drawings.as_svg(a), right=drawings.as_svg(b)))
    return found
