"""A scene as SVG: for a page, styled by its classes, or for paper, where its own colours stand."""

from __future__ import annotations

from xml.sax.saxutils import escape, quoteattr

from gemcalc.drawing.scene import Circle, Ellipse, Item, Lines, Path, Scene, Text, Vertex
from gemcalc.drawing.style import FONT, KINDS


def to_svg(scene: Scene, *, scale: float | None = None, css_class: str = "drawing") -> str:
    """
    The scene as one ``<svg>`` element, the same bytes for the same scene.

    Args:
        scene: The drawing.
        scale: Size on paper: 1 for true size, 5 for five times; None to fill the place it is put in.
        css_class: Class of the element.

    Returns:
        SVG with a ``viewBox`` in mm. Every shape carries a class and, so that it stands alone on paper, its
        own colours and widths; a page's stylesheet goes over them.
    """
    left, _, _, top = scene.box
    size = ""
    if scale is not None:
        size = f' width="{_n(scene.width_mm * scale)}mm" height="{_n(scene.height_mm * scale)}mm"'
    view = f"{_n(left)} {_n(-top)} {_n(scene.width_mm)} {_n(scene.height_mm)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class={quoteattr(css_class)} viewBox="{view}"{size}'
        f' role="img" aria-label={quoteattr(scene.title)}>'
        f"<title>{escape(scene.title)}</title><desc>{escape(scene.description)}</desc>{fragment(scene)}</svg>"
    )


def fragment(scene: Scene) -> str:
    """
    The shapes alone, without the element round them, for setting a drawing inside another.

    Args:
        scene: The drawing.
    """
    return "".join(_shape(item, scene.weight) for item in scene.items)


def _n(value: float) -> str:
    text = f"{value:.4f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def _look(kind: str, weight: float) -> str:
    style = KINDS[kind]
    parts = [f' class="{kind}" fill="{style.fill}"']
    if style.opacity != 1:
        parts.append(f' fill-opacity="{_n(style.opacity)}"')
    if style.stroke != "none":
        width = style.width * weight
        parts.append(f' stroke="{style.stroke}" stroke-width="{_n(width)}"')
        if style.dash:
            dashes = " ".join(_n(length * width) for length in style.dash)
            parts.append(f' stroke-dasharray="{dashes}"')
        else:
            parts.append(' stroke-linejoin="round" stroke-linecap="round"')
    return "".join(parts)


def _shape(item: Item, weight: float) -> str:
    look = _look(item.kind, weight)
    if isinstance(item, Circle):
        return f'<circle cx="{_n(item.x)}" cy="{_n(-item.y)}" r="{_n(item.r)}"{look}/>'
    if isinstance(item, Ellipse):
        size = f'rx="{_n(item.rx)}" ry="{_n(item.ry)}"'
        return f'<ellipse cx="{_n(item.x)}" cy="{_n(-item.y)}" {size}{look}/>'
    if isinstance(item, Text):
        anchor = f' text-anchor="{item.anchor}"' if item.anchor != "start" else ""
        place = f'x="{_n(item.x)}" y="{_n(-item.y)}" font-size="{_n(item.size)}" font-family="{FONT}"'
        return f"<text {place}{anchor}{look}>{escape(item.text)}</text>"
    data = _runs(item) if isinstance(item, Lines) else _path(item)
    return f'<path d="{data}"{look}/>'


def _runs(item: Lines) -> str:
    return "".join("M" + "L".join(f"{_n(x)} {_n(-y)}" for x, y in run) for run in item.runs)


def _path(item: Path) -> str:
    start = item.points[0]
    parts = [f"M{_n(start[0])} {_n(-start[1])}"]
    after = [*item.points[1:], *(item.points[:1] if item.closed else ())]
    for here, there in zip(item.points, after, strict=False):
        parts.append(_step(here, there))
    return "".join(parts) + ("Z" if item.closed else "")


def _step(here: Vertex, there: Vertex) -> str:
    x, y, bulge = here
    end = f"{_n(there[0])} {_n(-there[1])}"
    if bulge == 0:
        return f"L{end}"
    chord = ((there[0] - x) ** 2 + (there[1] - y) ** 2) ** 0.5
    radius = _n(chord * (1 + bulge * bulge) / (4 * abs(bulge)))
    # Seen with y down, an arc that runs anticlockwise with y up has sweep 0.
    return f"A{radius} {radius} 0 {int(abs(bulge) > 1)} {int(bulge < 0)} {end}"
