"""What must hold for any case: turned, mirrored, scaled; more stock; no target; the same bytes twice."""

import json
import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from gemcalc.halo.case import plain_case, read_case, size_label
from gemcalc.halo.fit import fit
from gemcalc.halo.layout import checked, layout_of
from gemcalc.halo.samples import sample
from gemcalc.halo.solve import solve

from .cases import GRADUATED, ROUND, TO_TARGET, case, square_cushion

SEEDS = st.integers(0, 10**6)
FEW = settings(max_examples=12, deadline=None)
MEASURES = ("length_mm", "width_mm", "diameter_mm", "corner_radius_mm", "corner_mm", "side_bow_mm", "lobe_mm")


def drawn(seed, **kinds):
    """A random case of the seed, the first that is of these kinds."""
    draw = random.Random(seed)
    while True:
        found = sample(draw)
        if all(
            bool(getattr(found, name, None) or getattr(found.melee, name, None)) == yes
            for name, yes in kinds.items()
        ):
            return found


def cost(read):
    solved = solve(read)
    return layout_of(read, solved)["figures"]["cost"] if solved.sound else math.inf


def turned(outline):
    """The outline turned by a quarter: length and width change places."""
    out = dict(outline)
    if "width_mm" in out:
        out["length_mm"], out["width_mm"] = outline["width_mm"], outline["length_mm"]
    return out


def scaled(data, factor):
    """The whole case larger by a factor, rules and drawer too."""
    out = json.loads(json.dumps(data))
    for name in ("centre", "target"):
        for key in MEASURES:
            if out[name] and key in out[name]:
                out[name][key] *= factor
    out["melee"]["sizes_mm"] = [size * factor for size in out["melee"]["sizes_mm"]]
    for key in out["rules"]:
        out["rules"][key] *= factor
    return out


@FEW
@given(SEEDS)
def test_the_same_case_gives_the_same_bytes(seed):
    read = sample(random.Random(seed))
    one, two = (json.dumps(fit(read, with_alternatives=False)) for _ in range(2))
    assert one == two


@FEW
@given(SEEDS)
def test_a_case_that_is_read_again_gives_the_same_halo(seed):
    read = drawn(seed, target=False)
    again = read_case(json.loads(json.dumps(plain_case(read))))
    assert layout_of(read, solve(read)) == layout_of(again, solve(again))


@pytest.mark.parametrize("cut", ["oval", "cushion", "emerald", "princess", "superellipse"])
@pytest.mark.parametrize("sizes", [[1.1, 1.2, 1.3], [1.0, 1.15]])
def test_a_turned_case_gives_the_turned_halo(cut, sizes):
    outline = {
        "cut": cut,
        "length_mm": 8.0,
        "width_mm": 6.3,
        "corner_radius_mm": 1.9,
        "corner_mm": 0.9,
        "exponent": 2.6,
    }
    one = read_case(case(outline, melee={"sizes_mm": sizes}, symmetry="D2"))
    two = read_case(case(turned(outline), melee={"sizes_mm": sizes}, symmetry="D2"))
    assert cost(one) == pytest.approx(cost(two), rel=1e-5, abs=1e-5)


@pytest.mark.parametrize("factor", [0.8, 1.25, 2.0])
def test_a_scaled_case_gives_the_scaled_halo(factor):
    for data in (
        case(ROUND),
        case({"cut": "pear", "length_mm": 8, "width_mm": 5.5}, melee={"sizes_mm": [1.1, 1.2]}),
        case(ROUND, target=square_cushion(9.2, 3), melee={"sizes_mm": GRADUATED}, rules=TO_TARGET),
    ):
        one, two = read_case(data), read_case(scaled(data, factor))
        small, large = layout_of(one, solve(one)), layout_of(two, solve(two))
        assert large["symmetry"] == small["symmetry"]
        assert large["figures"]["stones"] == small["figures"]["stones"]
        assert large["figures"]["cost"] == pytest.approx(
            factor**2 * small["figures"]["cost"], rel=1e-3, abs=1e-3
        )


def test_a_mirrored_stone_gives_a_halo_of_the_same_cost():
    points = [[3, -2], [3.6, 1], [0.4, 4], [-3, 2.2], [-2.6, -3]]
    mirrored = [[-x, y] for x, y in reversed(points)]
    one, two = (
        cost(read_case(case({"cut": "outline", "points_mm": p}, melee={"sizes_mm": [1.1, 1.2, 1.3]})))
        for p in (points, mirrored)
    )
    assert one == pytest.approx(two, rel=1e-4, abs=1e-4)


@FEW
@given(SEEDS, st.integers(1, 12))
def test_more_stock_never_costs_more(seed, more):
    read = drawn(seed, stock=True, target=False)
    small = solve(read)
    fuller = read.with_melee(stock=tuple(count + more for count in read.melee.stock))
    large = solve(fuller)
    if small.sound and large.sound and small.symmetry == large.symmetry:
        least = layout_of(read, small)["figures"]["cost"]
        assert layout_of(fuller, large)["figures"]["cost"] <= least * (1 + 1e-6) + 1e-6
    assert large.sound or not small.sound


@FEW
@given(SEEDS)
def test_wider_gaps_never_cost_more(seed):
    read = drawn(seed, target=False, stock=False)
    wide = read.with_rules(gap_max_mm=read.rules.gap_max_mm + 0.03)
    one, two = solve(read), solve(wide)
    if one.sound and one.symmetry == two.symmetry:
        least = layout_of(read, one)["figures"]["cost"]
        assert layout_of(wide, two)["figures"]["cost"] <= least * (1 + 1e-6) + 1e-6


@FEW
@given(SEEDS)
def test_without_a_target_no_area_is_added(seed):
    read = drawn(seed, target=True)
    data = plain_case(read)
    data["target"] = None
    free = read_case(data)
    assert "outer_gap_area_mm2" not in layout_of(free, solve(free))["figures"]


@FEW
@given(SEEDS)
def test_every_halo_is_sound_or_refused(seed):
    read = sample(random.Random(seed))
    solved = solve(read)
    layout = checked(read, solved)
    assert layout["feasible"] == (bool(layout["stones"]) and not layout["broken"])
    assert layout["feasible"] or not solved.sound
    # Where the search gave up on a halo that the check lets pass, it lay within the tolerance of a limit.
    assert layout["feasible"] == solved.sound or solved.off_mm < 5e-4
    assert sum(layout["figures"].get("counts", {}).values()) == len(layout["stones"])
    assert set(layout["figures"].get("counts", {})) <= {size_label(size) for size in read.melee.sizes_mm}
