"""The whole ring on one sheet: one scale, one size of letters, no word over another."""

from __future__ import annotations

import pytest
import shapely

from gemcalc import drawing
from gemcalc.drawing.scene import Circle, Scene, Text, bounds
from tests.gemcalc.check.layouts import OUTLINES, equal_halo

SHANK = drawing.Shank(inside_diameter_mm=17.2, thickness_mm=2.2, thickness_end_mm=1.5, width_end_mm=2.0)


def _sheet(name: str, *, halo: bool = True) -> Scene:
    case, layout = equal_halo(OUTLINES[name])
    stone = drawing.StoneProfile(depth_mm=3.9)
    return drawing.ring_sheet(case, layout if halo else None, stone=stone, shank=SHANK)


@pytest.mark.parametrize("name", ["round", "marquise", "pear", "emerald", "outline"])
@pytest.mark.parametrize("halo", [True, False])
def test_no_word_lies_on_another_or_off_the_sheet(name: str, halo: bool) -> None:
    scene = _sheet(name, halo=halo)
    left, bottom, right, top = bounds(scene.items)
    assert scene.box[0] <= left < right <= scene.box[2]
    assert scene.box[1] <= bottom < top <= scene.box[3]
    words = [item for item in scene.items if isinstance(item, Text)]
    boxes = [shapely.box(*bounds([item])) for item in words]
    clashes = [
        (words[i].text, words[j].text)
        for i in range(len(words))
        for j in range(i)
        if boxes[i].intersects(boxes[j])
    ]
    assert clashes == []


def test_four_views_at_one_scale_with_one_size_of_letters() -> None:
    scene = _sheet("round")
    headings = [i.text for i in scene.items if isinstance(i, Text) and i.kind == "heading"]
    assert headings == ["From above", "Side", "Front", "Section of the shank"]
    assert len({i.size for i in scene.items if isinstance(i, Text) and i.kind == "dimt"}) == 1
    holes = [i.r for i in scene.items if isinstance(i, Circle) and i.kind == "hole"]
    girdles = [i.r for i in scene.items if isinstance(i, Circle) and i.kind == "girdle"]
    assert (holes, girdles) == ([8.6], [3.25])


def test_a_sheet_fits_a_page_at_three_times_its_size() -> None:
    """A4 less its margins is 170 by 250 mm."""
    scene = _sheet("marquise")
    assert 3 * scene.width_mm < 170
    assert 3 * scene.height_mm < 250
