"""The bar that a printed page is checked by, and the words under a drawing."""

from __future__ import annotations

import re

import pytest

from gemcalc.drawing import Scene, paper_rule, signed, to_svg
from gemcalc.errors import OutOfRange


@pytest.mark.parametrize("long_mm", [10, 50, 100])
def test_the_bar_is_as_long_as_it_says_at_true_size(long_mm):
    scene = paper_rule(long_mm=long_mm)
    bars = [item for item in scene.items if item.kind in ("bar", "barless")]
    across = [x for item in bars for x, _y, _bulge in item.points]
    assert max(across) - min(across) == long_mm
    svg = to_svg(scene, scale=1)
    wide = float(re.search(r'width="([\d.]+)mm"', svg)[1])
    box = float(re.search(r'viewBox="\S+ \S+ (\S+) ', svg)[1])
    # At scale 1 a millimetre of the drawing is a millimetre of the paper.
    assert wide == pytest.approx(box)
    assert f"{long_mm} mm" in svg


@pytest.mark.parametrize("long_mm", [5, 101])
def test_a_bar_that_no_page_holds_is_refused(long_mm):
    with pytest.raises(OutOfRange):
        paper_rule(long_mm=long_mm)


def test_words_stand_under_the_drawing_inside_its_box():
    bare = Scene(paper_rule().items, (0.0, 0.0, 20.0, 5.0), "A drawing", "", 1.0)
    scene = signed(bare, ["One", "Another line that is longer than the drawing is wide"], letter_mm=1.0)
    words = [item for item in scene.items if getattr(item, "text", "") in ("One",)]
    assert words[0].y < 0
    assert scene.box[1] < words[0].y
    assert scene.box[2] > 20
    assert scene.box[3] == 5.0
