"""A scene as DXF R2010 in millimetres: true circles and arcs on layers named in words."""

from __future__ import annotations

import io
import threading
from typing import Any

from gemcalc.drawing.scene import Circle, Ellipse, Item, Lines, Path, Scene, Text
from gemcalc.drawing.style import KINDS, LAYERS

CAPITALS = 0.7
"""Height of capitals as a share of a letter's size: DXF measures text by its capitals."""

_MILLIMETRES = 4
_one_at_a_time = threading.Lock()


def to_dxf(scene: Scene) -> str:
    """
    The scene as the text of a DXF file (R2010, mm, 1:1), the same bytes for the same scene.

    Circles are CIRCLE, ovals ELLIPSE, everything else LWPOLYLINE with true arcs; text is TEXT.
    Tints and other things that are only for the eye are left out.

    Args:
        scene: The drawing.
    """
    from ezdxf._options import options

    # The library stamps time and random marks unless told not to, and has one switch for all threads.
    with _one_at_a_time:
        before = options.write_fixed_meta_data_for_testing
        options.write_fixed_meta_data_for_testing = True
        try:
            return _written(scene)
        finally:
            options.write_fixed_meta_data_for_testing = before


def _written(scene: Scene) -> str:
    from ezdxf.filemanagement import new

    document = new("R2010", setup=False, units=_MILLIMETRES)
    document.header["$MEASUREMENT"] = 1
    for name, colour in LAYERS.items():
        document.layers.add(name, color=colour)
    space = document.modelspace()
    for item in scene.items:
        if not KINDS[item.kind].flat:
            _draw(space, item)
    out = io.StringIO()
    document.write(out)
    return out.getvalue()


def _draw(space: Any, item: Item) -> None:
    on = {"layer": KINDS[item.kind].layer}
    if isinstance(item, Circle):
        space.add_circle((item.x, item.y), item.r, dxfattribs=on)
    elif isinstance(item, Ellipse):
        long_up = item.ry > item.rx
        axis = (0.0, item.ry) if long_up else (item.rx, 0.0)
        ratio = min(item.rx, item.ry) / max(item.rx, item.ry)
        space.add_ellipse((item.x, item.y), major_axis=axis, ratio=ratio, dxfattribs=on)
    elif isinstance(item, Lines):
        for run in item.runs:
            space.add_lwpolyline(run, format="xy", dxfattribs=on)
    elif isinstance(item, Path):
        space.add_lwpolyline(item.points, format="xyb", close=item.closed, dxfattribs=on)
    else:
        _write(space, item, on)


def _write(space: Any, item: Text, on: dict[str, str]) -> None:
    from ezdxf.enums import TextEntityAlignment

    align = {
        "start": TextEntityAlignment.LEFT,
        "middle": TextEntityAlignment.CENTER,
        "end": TextEntityAlignment.RIGHT,
    }[item.anchor]
    # The diameter sign has its own code in DXF.
    words = item.text.replace("Ø", "%%c")
    text = space.add_text(words, height=CAPITALS * item.size, dxfattribs=on)
    text.set_placement((item.x, item.y), align=align)
