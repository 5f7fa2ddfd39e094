"""The optimum against exhaustive search: every sequence of sizes, every kind of end, refined by another library."""

import itertools
import random

import numpy as np
import pytest
from scipy.optimize import minimize

from gemcalc.halo import row
from gemcalc.halo.case import read_case
from gemcalc.halo.fit import fit
from gemcalc.halo.layout import layout_of
from gemcalc.halo.samples import sample
from gemcalc.halo.solve import solve

from .cases import ROUND, case

GROUPS = {"D4": (np.pi / 4, 8), "D2": (np.pi / 2, 4)}


class Ellipse:
    """A round or oval centre on its own terms: places by the angle of the normal, nothing shared with the solver."""

    def __init__(self, a, b):
        self.a, self.b = a, b

    def middles(self, phi, away):
        c, s = np.cos(phi), np.sin(phi)
        scale = np.sqrt((self.a * c) ** 2 + (self.b * s) ** 2)
        return np.stack([self.a**2 * c / scale + away * c, self.b**2 * s / scale + away * s], axis=-1)


def least_cost(centre, sizes, ends, rules, span, float_max):
    """Cost of one sequence in one sector with given ends, or infinity: sequential quadratic programming."""
    sizes = np.array(sizes)
    radii, count = sizes / 2, len(sizes)
    held_first, held_last = ends
    weight = np.ones(count)
    if held_first:
        weight[0] = 0.5
    if held_last:
        weight[-1] = 0.5
    normal = np.array([np.sin(span), -np.cos(span)])

    def split(z):
        phi = z[:count].copy()
        if held_first:
            phi[0] = 0.0
        if held_last:
            phi[-1] = span
        return phi, z[count:]

    def gaps(z):
        phi, floats = split(z)
        at = centre.middles(phi, rules["clearance_mm"] + radii + floats)
        inner = np.hypot(*(at[1:] - at[:-1]).T) - radii[1:] - radii[:-1]
        first = [] if held_first else [2 * (at[0, 1] - radii[0])]
        last = [] if held_last else [2 * (at[-1] @ normal - radii[-1])]
        return np.concatenate([first, inner, last]), np.concatenate(
            [[0.5] * len(first), np.ones(len(inner)), [0.5] * len(last)]
        )

    def cost(z):
        found, share = gaps(z)
        return float(
            np.sum(share * ((found - rules["gap_wanted_mm"]) / 0.02) ** 2)
            + np.sum(((sizes[1:] - sizes[:-1]) / 0.1) ** 2)
            + np.sum(weight * (z[count:] / 0.03) ** 2)
        )

    limits = [
        {"type": "ineq", "fun": lambda z: 100 * (gaps(z)[0] - rules["gap_min_mm"])},
        {"type": "ineq", "fun": lambda z: 100 * (rules["gap_max_mm"] - gaps(z)[0])},
    ]
    offset = 0.0 if held_first else 0.5
    stop = count - 1 + (0.0 if held_last else 0.5)
    start = (offset + np.arange(count)) / (stop + offset) * span if stop + offset > 0 else np.zeros(count)
    start[-1] = min(start[-1], span)
    z0 = np.concatenate([start, np.zeros(count)])
    bounds = [(0.0, span)] * count + [(0.0, float_max)] * count
    found = minimize(
        cost, z0, bounds=bounds, constraints=limits, method="SLSQP", options={"maxiter": 300, "ftol": 1e-12}
    )
    off = gaps(found.x)[0]
    if off.min() < rules["gap_min_mm"] - 1e-6 or off.max() > rules["gap_max_mm"] + 1e-6:
        return np.inf
    return found.fun


def exhaustive(data, counts):
    span, copies = GROUPS[data["symmetry"]]
    centre = data["centre"]
    a = (centre.get("diameter_mm") or centre["width_mm"]) / 2
    b = (centre.get("diameter_mm") or centre["length_mm"]) / 2
    rules = data["rules"]
    float_max = rules["clearance_max_mm"] - rules["clearance_mm"]
    best = np.inf
    for count in counts:
        for sizes in itertools.product(data["melee"]["sizes_mm"], repeat=count):
            if any(abs(p - q) > rules["size_step_max_mm"] + 1e-9 for p, q in itertools.pairwise(sizes)):
                continue
            for ends in itertools.product((False, True), repeat=2):
                if not (count == 1 and all(ends)):
                    best = min(best, copies * least_cost(Ellipse(a, b), sizes, ends, rules, span, float_max))
    return best


def compare(data, counts):
    read = read_case(data)
    solved = solve(read)
    expected = exhaustive(data, counts)
    if not np.isfinite(expected):
        assert not solved.sound
        return
    assert solved.sound
    found = layout_of(read, solved)["figures"]["cost"]
    assert found == pytest.approx(expected, rel=1e-4, abs=1e-4)


@pytest.mark.parametrize("float_mm", [0.0, 0.06])
def test_round_equals_exhaustive_search(float_mm):
    data = case(
        ROUND, melee={"sizes_mm": [1.2, 1.3, 1.4]}, symmetry="D4", rules={"clearance_max_mm": 0.1 + float_mm}
    )
    compare(data, (2, 3))


@pytest.mark.slow
@pytest.mark.parametrize("seed", range(12))
def test_small_halos_equal_exhaustive_search(seed):
    draw = np.random.default_rng(seed)
    width = round(float(draw.uniform(3.5, 5.5)), 2)
    oval = seed % 2 == 1
    centre = (
        {"cut": "oval", "width_mm": width, "length_mm": round(width * 1.25, 2)}
        if oval
        else {"cut": "round", "diameter_mm": width}
    )
    least = round(float(draw.uniform(1.0, 1.3)), 2)
    data = case(
        centre,
        melee={"sizes_mm": [least, round(least + 0.07, 2), round(least + 0.15, 2)][: 2 if oval else 3]},
        symmetry="D2" if oval else "D4",
        rules={"clearance_max_mm": 0.1 + float(draw.choice([0.0, 0.05]))},
    )
    compare(data, (2, 3, 4, 5) if oval else (1, 2, 3))


@pytest.mark.parametrize("centre", [ROUND, {"cut": "pear", "length_mm": 9, "width_mm": 6}])
def test_the_proof_states_its_gap(centre):
    layout = fit(read_case(case(centre)), with_alternatives=False)
    assert layout["proof"]["optimal"]
    assert layout["proof"]["bound"] == pytest.approx(layout["figures"]["cost"], rel=1e-4, abs=1e-4)


@pytest.mark.parametrize("seed", range(6))
def test_two_proofs_on_different_grids_agree(seed, monkeypatch):
    """A proof on a coarse grid must not leave out what a fine one finds."""
    draw = random.Random(500 + seed)
    read = sample(draw)
    while read.target is not None:
        read = sample(draw)
    fine = solve(read)
    monkeypatch.setattr(row, "MOST_LINKS", 60_000)
    coarse = solve(read)
    assert fine.symmetry == coarse.symmetry
    if fine.optimal and coarse.optimal and fine.sound:
        assert fine.cost == pytest.approx(coarse.cost, rel=1e-6, abs=1e-6)
