"""
An infeasible case is answered: the nearest changes that make it sound, each with its halo, best first.

Where a case is feasible, the same way shows what is near: one more or one fewer stone, and what a single further
size would bring.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain as chain_of
from typing import Any

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.halo.case import Case, plain_case
from gemcalc.halo.changes import (
    PROBES,
    Change,
    Probe,
    Rows,
    clearances,
    down,
    gaps_in,
    resized,
    target_shift,
    up,
)
from gemcalc.halo.layout import checked
from gemcalc.halo.loosened import loosened
from gemcalc.halo.row import QUICK, RowSolver, clear, whole
from gemcalc.halo.solve import Solved, filled, row_problem, solve_under, symmetries

MOST_ALTERNATIVES = 5
ENOUGH_SMALL = 3
MOST_HALOS = 40
MOST_SEARCHES = 10
"""Searches spent on one answer: a count, so that the same question always gets the same answer."""
SMALL = 2.0
"""A change this small is not bettered by giving up symmetry for it."""


def _groups(case: Case) -> list[str]:
    groups = symmetries(case)
    mirrored = [group for group in groups if group != "C1"] or groups
    # Half a stone's loop with many sizes takes long, and seldom brings what a quarter does not.
    simple = case.target is None and len(case.melee.sizes_mm) <= 6
    return mirrored if simple else mirrored[:2]


class _Spent:
    """How many searches are left for one answer."""

    def __init__(self, searches: int = MOST_SEARCHES) -> None:
        self.left = searches

    def halos(self, case: Case, group: str) -> Iterator[Solved]:
        """Sound halos of a case under one symmetry, quickly found: several counts and sizes, the cheapest first."""
        if self.left == 0:
            return
        self.left -= 1
        if case.rows == 2:
            solved = solve_under(case, group, QUICK)
            if solved.sound:
                yield solved
            return
        problem = row_problem(case, group, outer=True)
        accept = filled(case, problem)
        answer = RowSolver(problem, effort=QUICK, accept=accept).solve()
        for chain in answer.others[:MOST_HALOS]:
            if clear(problem, chain) and (accept is None or accept(chain)):
                yield Solved(True, group, (whole(problem, chain),), False, 0.0, 0.0, chain.cost)

    def first(self, case: Case) -> list[Solved]:
        """Sound halos under the highest symmetry that has any."""
        for group in _groups(case):
            halos = list(self.halos(case, group))
            if halos:
                return halos
        return []


def changed_keys(before: Case, after: Case) -> dict[str, Any]:
    """The parts of the plain case that differ, one level deep in objects that stay the same kind."""
    old, new = plain_case(before), plain_case(after)
    out: dict[str, Any] = {}
    for key, value in new.items():
        if value == old[key]:
            continue
        if key in ("melee", "rules"):
            out[key] = {
                name: value.get(name) for name in {*value, *old[key]} if value.get(name) != old[key].get(name)
            }
            out[key] = dict(sorted(out[key].items()))
        else:
            out[key] = value
    return out


def _searched(case: Case, probes: Sequence[Probe], spent: _Spent) -> Iterator[tuple[Change, Solved]]:
    """The smallest change of each kind that a quick search finds."""
    for probe in probes:
        relaxed = probe.relaxed(case)
        if relaxed is None:
            continue
        best: tuple[Change, Solved] | None = None
        for group in _groups(relaxed):
            for halo in spent.halos(relaxed, group):
                change = probe.needed(case, halo.rows)
                if change is not None and (best is None or change.size < best[0].size - 1e-9):
                    best = (change, halo)
            if best is not None and best[0].size < SMALL:
                break
        if best is not None:
            yield best


def _moved_target(case: Case, spent: _Spent) -> Iterator[tuple[Change, Solved]]:
    """A target larger or smaller all round: of the halos without its limits, those that its shape fits."""
    if case.target is None:
        return
    rules = case.rules
    free = case.with_rules(
        inside_target_max_mm=rules.inside_target_max_mm + 0.5,
        outside_target_max_mm=rules.outside_target_max_mm + 0.4,
    )
    tried: set[float] = set()
    for halo in spent.first(free)[:6]:
        shift = round(target_shift(case, halo.rows) * 50) / 50
        if shift in tried or len(tried) == 2:
            continue
        tried.add(shift)
        changed = replace(case, target=resized(case.target, by_mm=shift))
        try:
            halos = spent.first(changed)
        except BadInput:
            continue
        if halos:
            word = "larger" if shift > 0 else "smaller"
            yield (
                Change(changed, f"a target {abs(shift):.2f} mm {word} all round", abs(shift) / 0.05),
                halos[0],
            )
            return


def _loosest(case: Case, spent: _Spent) -> Iterator[tuple[Change, Solved]]:
    """Several changes at once, for cases that no single one can mend."""
    rules = case.rules
    several = case.with_rules(
        gap_max_mm=rules.gap_max_mm + 0.1,
        clearance_max_mm=rules.clearance_max_mm + 0.15,
        size_step_max_mm=max(rules.size_step_max_mm, 0.4),
        bare_radius_max_mm=None,
        row_gap_max_mm=rules.row_gap_max_mm + 0.2 if case.rows == 2 else 0.0,
    )
    plain = several.with_rules(stone_on_deg=())
    trials = [
        (several, "wider gaps, clearance and size steps together", 6.0),
        (plain.with_melee(stock=None), "wider gaps, clearance and steps, and a full drawer", 8.0),
        (
            replace(case, target=None).with_rules(bare_radius_max_mm=None),
            "no target: the halo follows the centre",
            9.0,
        ),
        (replace(plain, target=None), "no target, and wider gaps, clearance and size steps", 10.0),
        (
            replace(plain, target=None, rows=1, symmetry="any").with_melee(stock=None),
            "one row, no target, a full drawer",
            12.0,
        ),
    ]
    for changed, words, size in trials:
        if changed == case:
            continue
        halos = spent.first(changed)
        if halos:
            yield Change(changed, words, size), halos[0]
            return


def alternatives(case: Case, solved: Solved) -> list[dict[str, Any]]:
    """
    The nearest changes that make an infeasible case sound, best first, each with its checked layout.

    Orders of sizes that just failed are tried first with each limit let go by itself: they are at hand.
    Where a halo met on the way keeps every rule after all, it is the only answer, with no change.

    Args:
        case: A case for which no sound halo was found.
        solved: What was found for it.

    Returns:
        ``change`` (words), ``case`` (the changed keys) and ``layout`` of each; only layouts that passed the check.
    """
    spent = _Spent(MOST_SEARCHES if case.rows == 1 else MOST_SEARCHES // 2)
    found: list[tuple[Change, Solved]] = []
    open_questions: list[Probe] = []
    for probe in PROBES:
        pair = loosened(case, probe, solved.missed) if probe.limits else None
        if pair is not None:
            found.append(pair)
        if pair is None or pair[0].size > 2 * SMALL:
            open_questions.append(probe)
    drawer = [probe for probe in open_questions if not probe.limits][:2]
    later = [probe for probe in open_questions if probe not in drawer]
    # What the drawer would have to hold is always worth knowing; the rest only where little was found.
    found += _searched(case, drawer, spent)
    for pair in chain_of(_searched(case, later, spent), _moved_target(case, spent)):
        if sum(change.size < SMALL for change, _ in found) >= ENOUGH_SMALL:
            break
        found.append(pair)
    found.sort(key=lambda pair: pair[0].size)
    found = list({_kind(pair[0]): pair for pair in reversed(found)}.values())[::-1]
    if found and found[0][0].size <= 0:
        layout = checked(case, found[0][1])
        if layout["feasible"]:
            return [{"change": "all rules as they are", "case": {}, "layout": layout}]
    listed = _listed(case, found)
    return listed or _listed(case, list(_loosest(case, _Spent())))


def _kind(change: Change) -> str:
    """What a change is about: the same limit twice is told once."""
    return re.sub(r"[\d.]+", "", change.words)


def _listed(case: Case, found: list[tuple[Change, Solved]]) -> list[dict[str, Any]]:
    out: list[dict[str, Any]] = []
    for change, halo in found:
        changed = change.case
        layout = checked(changed, halo)
        if layout["feasible"]:
            out.append({"change": change.words, "case": changed_keys(case, changed), "layout": layout})
        if len(out) == MOST_ALTERNATIVES:
            break
    return out


def _count(rows: Rows) -> int:
    return sum(len(row[0]) for row in rows)


def neighbours(case: Case, solved: Solved) -> list[dict[str, Any]]:
    """
    What is near a sound halo: the next counts up and down under its symmetry, and what they would ask for.

    Args:
        case: What was asked for.
        solved: Its sound halo.
    """
    own = _count(solved.rows)
    spent = _Spent()
    found: list[tuple[Change, Solved]] = []
    for sign, word in ((1, "more"), (-1, "fewer")):
        wide = _for_count(case, solved.rows, own + sign)
        nearest: tuple[int, float, Change, Solved] | None = None
        for group in _lowest_first(case, solved.symmetry):
            for halo in spent.halos(wide, group):
                apart = sign * (_count(halo.rows) - own)
                if apart > 0 and (nearest is None or apart <= nearest[0]):
                    change = _count_change(case, halo.rows, f"{apart} {word}: {own + sign * apart} stones")
                    if nearest is None or (apart, change.size) < nearest[:2]:
                        nearest = (apart, change.size, change, halo)
            if nearest is not None and nearest[0] == 1:
                break
        if nearest is not None:
            found.append((nearest[2], nearest[3]))
    return _listed(case, sorted(found, key=lambda pair: pair[0].size))


def _lowest_first(case: Case, own: str) -> list[str]:
    """A single stone more needs the lowest symmetry; the halo's own is asked where that brings nothing."""
    groups = _groups(replace(case, symmetry="any"))
    lowest = [group for group in symmetries(replace(case, symmetry="any")) if group != "C1"][-1:] or groups[
        -1:
    ]
    return [*lowest, *(group for group in groups if group == own and group not in lowest)]


def _for_count(case: Case, rows: Rows, count: int) -> Case:
    """The case with its gaps opened, and with those wanted that another count of the same stones would have."""
    rules = case.rules
    gaps = gaps_in(rows)
    around = float(np.sum(gaps)) + sum(float(np.sum(d)) for _, _, d in rows)
    mean = sum(float(np.sum(d)) for _, _, d in rows) / len(gaps)
    least, most = max(0.0, rules.gap_min_mm - 0.04), rules.gap_max_mm + 0.12
    wanted = around / count - mean
    if count > len(gaps):
        most = rules.gap_max_mm
        wide = case.with_rules(clearance_max_mm=rules.clearance_max_mm + 0.12)
    else:
        least, wide = rules.gap_min_mm, case
    return wide.with_rules(
        gap_min_mm=least, gap_max_mm=most, gap_wanted_mm=min(max(wanted, rules.gap_min_mm), most)
    )


def _count_change(case: Case, rows: Rows, words: str) -> Change:
    """What another count of stones asks of gaps and clearance, and of the symmetry."""
    gaps, away = gaps_in(rows), clearances(case, rows)
    least, most, far = float(np.min(gaps)), float(np.max(gaps)), float(np.max(away))
    rules: dict[str, float] = {}
    if least < case.rules.gap_min_mm - 1e-7:
        rules["gap_min_mm"] = round(max(0.0, down(least)), 6)
        words += f", with gaps down to {rules['gap_min_mm']:.3f} mm"
    if most > case.rules.gap_max_mm + 1e-7:
        rules["gap_max_mm"] = round(up(most), 6)
        words += f", with gaps up to {rules['gap_max_mm']:.3f} mm"
    if far > case.rules.clearance_max_mm + 1e-7:
        rules["clearance_max_mm"] = round(up(far), 6)
        words += f", up to {rules['clearance_max_mm']:.3f} mm from the centre"
    off = max(0.0, case.rules.gap_min_mm - least) / 0.01 + max(0.0, most - case.rules.gap_max_mm) / 0.02
    off += max(0.0, far - case.rules.clearance_max_mm) / 0.03
    changed = replace(case, symmetry="any").with_rules(**rules)
    return Change(changed, words, off)
