"""
Drawings of rings: one scene in mm, rendered as SVG for page and paper and as DXF for the bench.

Scenes are made by pure functions from plain objects; x runs across the width, y along the length, y up.

- :func:`top_view` of centre and halo: ``variant`` setter (numbered, dimensioned), client, mini (for lists).
- :func:`side_view` with :class:`StoneProfile`, :class:`HeadProfile`: crown, girdle, pavilion, halo, gallery.
- :func:`ring_front` and :func:`section` with a :class:`Shank`.
- :func:`ring_sheet`: all four views on one sheet at one scale; :func:`signed` writes words under it.
- :func:`paper_rule`: a bar of 50 mm to check a printed page by.
- :func:`turn_view`: inclusions before and after turning the stone under its claws.
- :func:`lie_view`: the turned stone for the setter, with the orientation mark and numbered claws.
- :func:`gap_overlay` and :func:`gap_figures`: an opening laid over a girdle.
- :func:`beside` puts scenes next to each other at one scale.
- :func:`setting_order`: the stones as the setter numbers them, for tables beside the drawing.

Rendering:

- :func:`to_svg`: ``scale`` None fills its place, 1 is true size, 5 five times.
- :func:`fragment`: the bare shapes, to set one drawing inside another.
- :func:`to_dxf`: R2010, mm, 1:1, layers named in words.

On a page, a stylesheet may set ``fill`` and ``stroke`` of the classes (the kinds in ``style.KINDS``).
Widths and letter sizes belong to the drawing and grow with it, so a stylesheet must leave them alone.
"""

from gemcalc.drawing.claws import default_angles
from gemcalc.drawing.dxf import to_dxf
from gemcalc.drawing.gaps import GapFigures, gap_figures, gap_overlay
from gemcalc.drawing.profile import HeadProfile, StoneProfile
from gemcalc.drawing.ring import Shank, ring_front, section
from gemcalc.drawing.scene import Scene, beside, moved
from gemcalc.drawing.sheet import LETTER_MM, paper_rule, ring_sheet, signed
from gemcalc.drawing.side import side_view
from gemcalc.drawing.svg import fragment, to_svg
from gemcalc.drawing.top import CLIENT, MINI, SETTER, TopOptions, setting_order, top_view
from gemcalc.drawing.turn import clockwise, lie_view, turn_view

__all__ = [
    "CLIENT",
    "LETTER_MM",
    "MINI",
    "SETTER",
    "GapFigures",
    "HeadProfile",
    "Scene",
    "Shank",
    "StoneProfile",
    "TopOptions",
    "beside",
    "clockwise",
    "default_angles",
    "fragment",
    "gap_figures",
    "gap_overlay",
    "lie_view",
    "moved",
    "paper_rule",
    "ring_front",
    "ring_sheet",
    "section",
    "setting_order",
    "side_view",
    "signed",
    "to_dxf",
    "to_svg",
    "top_view",
    "turn_view",
]
