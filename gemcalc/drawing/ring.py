"""The ring seen from the front, and sections of its shank."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from gemcalc.drawing import dimension
from gemcalc.drawing.profile import HeadProfile, StoneProfile
from gemcalc.drawing.scene import Circle, Item, Path, Scene, finish, label, line, moved
from gemcalc.drawing.side import head
from gemcalc.errors import in_range
from gemcalc.profiles import section_outline


@dataclass(frozen=True, kw_only=True)
class Shank:
    """
    A shank.

    Args:
        inside_diameter_mm: Inside diameter, mm, from 10 to 30.
        thickness_mm: Thickness at the top, mm, from 0.5 to 8.
        thickness_end_mm: Thickness at the back, mm; None for the same.
        width_mm: Width at the top, mm, from 0.8 to 20.
        width_end_mm: Width at the back, mm; None for the same.
        profile: flat, half-round, court, comfort or knife-edge.
    """

    inside_diameter_mm: float
    thickness_mm: float = 1.8
    thickness_end_mm: float | None = None
    width_mm: float = 2.2
    width_end_mm: float | None = None
    profile: str = "court"

    def checked(self) -> Shank:
        """
        The shank itself.

        Raises:
            OutOfRange: a measure is outside its range.
        """
        in_range(field="inside_diameter_mm", value=self.inside_diameter_mm, low=10, high=30)
        for name, low, high in (("thickness", 0.5, 8.0), ("width", 0.8, 20.0)):
            for field in (f"{name}_mm", f"{name}_end_mm"):
                value = getattr(self, field)
                if value is not None:
                    in_range(field=field, value=value, low=low, high=high)
        return self

    @property
    def back_mm(self) -> float:
        """Thickness at the back, mm."""
        return self.thickness_mm if self.thickness_end_mm is None else self.thickness_end_mm

    @property
    def back_width_mm(self) -> float:
        """Width at the back, mm."""
        return self.width_mm if self.width_end_mm is None else self.width_end_mm


def ring_front(
    case: Mapping[str, Any],
    layout: Mapping[str, Any] | None,
    *,
    shank: Shank,
    stone: StoneProfile,
    setting: HeadProfile | None = None,
    claws: Sequence[float] | None = None,
    title: str = "Front view",
    letter_mm: float | None = None,
) -> Scene:
    """
    The whole ring from the front, mm, the middle of the finger at the origin.

    Thickness runs evenly with the angle from the top to the back.

    Args:
        case, layout: The halo's case and its layout (None for a stone without a halo).
        shank: Measures of the shank.
        stone: Measures of the stone from the side.
        setting: Measures of the head; None takes the usual ones.
        claws: Angles of the claws, degrees anticlockwise from +x; None takes the usual ones.
        title: Words over the drawing.
        letter_mm: Size of the letters, mm; None for one that suits the drawing.

    Raises:
        BadInput: crown and girdle leave no pavilion.
        OutOfRange: a measure is outside its range.

    Source: practice.
    """
    shank.checked()
    made = head(case, layout, stone=stone, setting=setting or HeadProfile(), claws=claws)
    inner = shank.inside_diameter_mm / 2
    items: list[Item] = _shank(shank)
    lift = inner - made.finger
    # Only the head's shapes are moved: its levels are known from their own heights.
    carried = moved(Scene(made.items, (0.0, 0.0, 0.0, 0.0), "", ""), 0.0, lift)
    items += carried.items
    outer_back = -inner - shank.back_mm
    top = made.table + lift
    half = max(inner + max(shank.thickness_mm, shank.back_mm), made.right, -made.left)
    size = letter_mm or min(max(0.026 * (top - outer_back) + 0.14, 0.4), 1.4)
    items += dimension.across(-inner, inner, 0.0, f"Ø {shank.inside_diameter_mm:.2f}", size)
    items += dimension.upright(
        outer_back,
        top,
        half + 2.0 * size,
        f"{top - outer_back:.2f}",
        size,
        from_x=(0.6, made.table_right + 0.2),
    )
    items += dimension.upright(
        outer_back, -inner, -half - 1.2 * size, f"{shank.back_mm:.2f}", size, from_x=(-0.6, -0.6), left=True
    )
    items += dimension.across(
        made.left, made.right, top + 1.3 * size, f"{made.right - made.left:.2f}", size,
        from_y=(made.halo + lift if made.left < made.stone_left else lift,) * 2, above=True,
    )  # fmt: skip
    described = (
        f"Inside diameter {shank.inside_diameter_mm:.2f} mm, "
        f"thickness {shank.thickness_mm:.2f} at the top and "
        f"{shank.back_mm:.2f} at the back, {top - outer_back:.2f} mm high over all."
    )
    weight = max(0.5, (top - outer_back) / 18)
    return finish(items, title=title, description=described, margin=0.6 * size, weight=weight)


def section(*, shank: Shank, title: str = "Section", letter_mm: float | None = None) -> Scene:
    """
    Sections of the shank, mm: at the top and, where it tapers, at the back. The finger lies below.

    Args:
        shank: Measures of the shank.
        title: Words over the drawing.
        letter_mm: Size of the letters, mm; None for one that suits the drawing.

    Raises:
        BadInput: there is no such profile.
        OutOfRange: a measure is outside its range.

    Source: practice.
    """
    shank.checked()
    tapers = (shank.back_mm, shank.back_width_mm) != (shank.thickness_mm, shank.width_mm)
    cuts = [("top", shank.width_mm, shank.thickness_mm)]
    if tapers:
        cuts.append(("back", shank.back_width_mm, shank.back_mm))
    size = letter_mm or min(max(0.08 * max(shank.width_mm, shank.thickness_mm) + 0.12, 0.24), 0.9)
    items: list[Item] = []
    x = 0.0
    for name, width, thickness in cuts:
        points = section_outline(profile=shank.profile, width_mm=width, thickness_mm=thickness)
        items.append(Path("metal", tuple((x + px, py, 0.0) for px, py in points), closed=True))
        half = width / 2
        items += dimension.across(
            x - half, x + half, -1.3 * size, f"{width:.2f}", size, from_y=(_foot(points),) * 2
        )
        items += dimension.upright(
            0.0, thickness, x + half + 1.2 * size, f"{thickness:.2f}", size,
            from_x=(x + 0.3 * half, x + 0.1 * half),
        )  # fmt: skip
        items.append(label(name, x, thickness + 0.9 * size, size, kind="note"))
        x += width / 2 + 5.6 * size + (shank.back_width_mm / 2 if name == "top" else 0.0)
    described = (
        f"{shank.profile.capitalize()}, {shank.width_mm:.2f} wide and {shank.thickness_mm:.2f} mm thick."
    )
    weight = max(0.3, max(shank.width_mm, shank.thickness_mm) / 9.3)
    return finish(items, title=title, description=described, margin=0.6 * size, weight=weight)


def _foot(points: Sequence[tuple[float, float]]) -> float:
    """Height at which the section is widest, mm, from which the thin lines start."""
    widest = max(px for px, _ in points)
    return min(py for px, py in points if px > widest - 1e-9) - 0.05


def _shank(shank: Shank) -> list[Item]:
    inner = shank.inside_diameter_mm / 2
    if shank.back_mm == shank.thickness_mm:
        return [Circle("metal", 0.0, 0.0, inner + shank.thickness_mm), Circle("hole", 0.0, 0.0, inner)]
    points = []
    for place in range(180):
        share = abs(place / 90 - 1)
        turn = math.radians(2 * place - 90)
        reach = inner + shank.back_mm * share + shank.thickness_mm * (1 - share)
        points.append((reach * math.cos(turn), reach * math.sin(turn)))
    return [line("metal", *points, closed=True), Circle("hole", 0.0, 0.0, inner)]
