"""Nothing leaves the halo's door unchecked: neither stones that break a rule nor figures that are not true."""

import random

import pytest

from gemcalc.halo import layout as layouts
from gemcalc.halo.case import plain_case, read_case
from gemcalc.halo.check import verify
from gemcalc.halo.fit import fit, fitted, near
from gemcalc.halo.samples import sample

from .cases import ROUND, case


@pytest.mark.parametrize("figure", ["cost", "bare_radius_mm", "weight_ct", "gap_least_mm", "stones"])
def test_a_false_figure_is_caught_and_not_handed_out(figure, monkeypatch):
    honest = layouts.figures

    def lying(asked, rows):
        told = honest(asked, rows)
        return {**told, figure: told[figure] + 1}

    monkeypatch.setattr(layouts, "figures", lying)
    found = fitted(read_case(case(ROUND)))
    assert not found.layout["feasible"]
    assert found.layout["figures"] == {}
    assert any(figure in words for words in found.layout["untrue"])


def test_a_stone_out_of_place_is_caught_whatever_the_search_believes(monkeypatch):
    ordered = layouts._ordered

    def moved(row):
        x, y, d = ordered(row)
        return x + 0.002, y, d

    monkeypatch.setattr(layouts, "_ordered", moved)
    layout = fit(read_case(case(ROUND)), with_alternatives=False)
    assert not layout["feasible"]
    assert layout["broken"]
    assert not any(one["layout"]["feasible"] for one in layout["alternatives"])


def test_every_layout_that_leaves_is_sound_and_honest_by_the_check():
    draw = random.Random(31)
    seen = 0
    for _ in range(12):
        asked = sample(draw)
        answer = fit(asked)
        whole = [(plain_case(asked), answer)] if answer["feasible"] else []
        for one in answer["alternatives"]:
            changed = plain_case(asked)
            for key, value in one["case"].items():
                changed[key] = {**changed[key], **value} if key in ("rules", "melee") else value
            whole.append((changed, one["layout"]))
        for asked_for, layout in whole:
            verdict = verify(case=asked_for, layout=layout)
            assert verdict.sound, (verdict.words, verdict.untrue)
            seen += 1
    assert seen > 12


def test_what_is_near_a_sound_halo_is_looked_for_apart_from_it():
    found = fitted(read_case(case(ROUND)))
    counts = [one["layout"]["figures"]["stones"] for one in near(found)]
    own = found.layout["figures"]["stones"]
    assert any(count > own for count in counts) or any(count < own for count in counts)
    assert own not in counts


def test_two_rows_say_what_is_known_of_each():
    asked = case(
        ROUND, rows=2, melee={"sizes_mm": [1.2, 1.3]}, rules={"row_gap_min_mm": 0.05, "row_gap_max_mm": 0.2}
    )
    layout = fitted(read_case(asked)).layout
    assert layout["feasible"]
    inner, outer = layout["proof"]["rows"]
    assert inner["bound"] <= inner["cost"] + 1e-6
    assert outer["bound"] <= outer["cost"] + 1e-6
    assert inner["cost"] + outer["cost"] == pytest.approx(layout["figures"]["cost"], rel=1e-4, abs=1e-3)
    # The inner row by itself is a halo of one row: its proof must say what that halo's says.
    alone = fitted(read_case(case(ROUND, melee={"sizes_mm": [1.2, 1.3]}, symmetry=layout["symmetry"]))).layout
    assert inner["bound"] <= alone["figures"]["cost"] + 1e-4
    if inner["optimal"]:
        assert inner["cost"] == pytest.approx(alone["figures"]["cost"], abs=1e-4)
