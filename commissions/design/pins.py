"""Numbered pins over a drawing, for whoever made them and whoever answers."""

from __future__ import annotations

from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from django.utils.safestring import SafeString, mark_safe

from gemcalc.drawing import Scene, fragment

SHARE = 0.042
"""Radius of a pin as a share of the drawing's width: 27 px across on a narrow phone, large enough to press."""


@dataclass(frozen=True, kw_only=True)
class Pin:
    """One pin: its label, its place in mm, what pressing it leads to, and how it stands (open, closed, carried)."""

    label: str
    x: float
    y: float
    href: str
    title: str
    kind: str


def pinned(scene: Scene, pins: list[Pin], *, mark: tuple[float, float] | None = None) -> SafeString:
    """
    The drawing with its pins as SVG that fills its place.

    *mark* is where a new comment would stand; the shape is there even without one, hidden, so that a tap
    can move it.
    """
    left, _bottom, _right, top = scene.box
    radius = SHARE * scene.width_mm
    shapes = [_pin(pin, radius) for pin in pins]
    x, y = mark or (0.0, 0.0)
    hidden = "" if mark else ' visibility="hidden"'
    shapes.append(
        f'<g class="pin mark" data-mark{hidden} transform="translate({x:.3f} {-y:.3f})">'
        f'<circle r="{radius:.3f}" stroke-width="{radius * 0.14:.3f}"/>'
        f'<path d="M{-radius * 0.5:.3f} 0H{radius * 0.5:.3f}M0 {-radius * 0.5:.3f}V{radius * 0.5:.3f}" '
        f'stroke-width="{radius * 0.14:.3f}"/></g>'
    )
    # SVG of our own renderer; the words in it are escaped here.
    return mark_safe(  # noqa: S308
        f'<svg xmlns="http://www.w3.org/2000/svg" class="drawing pinned" data-pins role="group" '
        f"aria-label={quoteattr(scene.title)} "
        f'viewBox="{left:.3f} {-top:.3f} {scene.width_mm:.3f} {scene.height_mm:.3f}">'
        f"{fragment(scene)}{''.join(shapes)}</svg>"
    )


def _pin(pin: Pin, radius: float) -> str:
    letters = radius * (1.15 if len(pin.label) < 2 else 0.95)
    return (
        f'<a class="pin {pin.kind}" href={quoteattr(pin.href)} aria-label={quoteattr(pin.title)} '
        f'transform="translate({pin.x:.3f} {-pin.y:.3f})"><title>{escape(pin.title)}</title>'
        f'<circle r="{radius:.3f}" stroke-width="{radius * 0.14:.3f}"/>'
        f'<text y="{letters * 0.35:.3f}" font-size="{letters:.3f}" text-anchor="middle">{escape(pin.label)}</text></a>'
    )
