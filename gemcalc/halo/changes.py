"""
Single changes of a case that may make it sound: how far each limit is let go, and what of it was needed.

Feasibility is a union of windows, one for each count of stones; so no limit is ever found by bisection.
The limit is let go, the halos that then exist are found, and the change is what the nearest of them asks for.
Lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from gemcalc.halo.case import Case, Outline, size_label
from gemcalc.halo.layout import gaps_of
from gemcalc.halo.solve import Row, bare_of, reach_of, rolled

Floats = npt.NDArray[np.float64]

ROUND_MM = 0.001
"""Changed limits are given to a whole micron, on the safe side."""

Rows = tuple[Row, ...]


@dataclass(frozen=True)
class Change:
    """
    A change that a halo asks for.

    Args:
        case: The changed case.
        words: What is changed, in the user's words.
        size: How much is asked: 1 is what an eye or a hand just notices.
    """

    case: Case
    words: str
    size: float


@dataclass(frozen=True)
class Probe:
    """
    One way to let go.

    Args:
        relaxed: The case with the limit let go; None where it does not apply.
        needed: The change that given rows need, seen from the case; None where they do not satisfy it.
        limits: Whether only limits are let go: then an order of sizes that just failed may do.
    """

    relaxed: Callable[[Case], Case | None]
    needed: Callable[[Case, Rows], Change | None]
    limits: bool = False


def up(value: float) -> float:
    """*value* rounded up to a whole micron."""
    return math.ceil(value / ROUND_MM - 1e-6) * ROUND_MM


def down(value: float) -> float:
    """*value* rounded down to a whole micron."""
    return math.floor(value / ROUND_MM + 1e-6) * ROUND_MM


def gaps_in(rows: Rows) -> Floats:
    """All neighbour gaps, mm."""
    return np.concatenate([gaps_of(row) for row in rows])


def clearances(case: Case, rows: Rows) -> Floats:
    """How far each stone of the first row stands from the centre, mm."""
    x, y, d = rows[0]
    return np.asarray(-rolled(case.centre, reach_of(case), "centre").nearest(x, y)[0] - d / 2)


def _short(case: Case, rows: Rows) -> Floats:
    assert case.target is not None
    x, y, d = rows[-1]
    return np.asarray(rolled(case.target, reach_of(case), "target").nearest(x, y)[0] - d / 2)


def _largest_gap(case: Case, rows: Rows) -> Change | None:
    most = up(float(np.max(gaps_in(rows))))
    more = most - case.rules.gap_max_mm
    return Change(
        case.with_rules(gap_max_mm=round(most, 6)),
        f"largest gap {most:.3f} mm instead of {case.rules.gap_max_mm:.3f}",
        more / 0.02,
    )


def _least_gap(case: Case, rows: Rows) -> Change | None:
    least = max(0.0, down(float(np.min(gaps_in(rows)))))
    less = case.rules.gap_min_mm - least
    # A gap too narrow for the tool weighs more than one too wide for the eye.
    return Change(
        case.with_rules(gap_min_mm=round(least, 6)),
        f"least gap {least:.3f} mm instead of {case.rules.gap_min_mm:.3f}",
        less / 0.01,
    )


def _wider_clearance(case: Case, rows: Rows) -> Change | None:
    away = clearances(case, rows)
    most = up(float(np.max(away)))
    more = most - case.rules.clearance_max_mm
    words = f"stones up to {most:.3f} mm from the centre instead of {case.rules.clearance_max_mm:.3f}"
    return Change(case.with_rules(clearance_max_mm=round(most, 6)), words, more / 0.03)


def _closer(case: Case, rows: Rows) -> Change | None:
    least = max(0.0, down(float(np.min(clearances(case, rows)))))
    less = case.rules.clearance_mm - least
    words = f"clearance {least:.3f} mm instead of {case.rules.clearance_mm:.3f}"
    return Change(case.with_rules(clearance_mm=round(least, 6)), words, less / 0.02)


def _step(case: Case, rows: Rows) -> Change | None:
    step = up(max(float(np.max(np.abs(np.diff(d, append=d[:1])))) for _, _, d in rows))
    more = step - case.rules.size_step_max_mm
    words = f"neighbours up to {step:.2f} mm apart in size instead of {case.rules.size_step_max_mm:.2f}"
    return Change(case.with_rules(size_step_max_mm=round(step, 6)), words, more / 0.05)


def _inside(case: Case, rows: Rows) -> Change | None:
    most = up(float(np.max(_short(case, rows))))
    more = most - case.rules.inside_target_max_mm
    words = f"stones up to {most:.3f} mm short of the target instead of {case.rules.inside_target_max_mm:.3f}"
    return Change(case.with_rules(inside_target_max_mm=round(most, 6)), words, more / 0.04)


def _outside(case: Case, rows: Rows) -> Change | None:
    most = up(-float(np.min(_short(case, rows))))
    more = most - case.rules.outside_target_max_mm
    words = f"stones up to {most:.3f} mm beyond the target instead of {case.rules.outside_target_max_mm:.3f}"
    return Change(case.with_rules(outside_target_max_mm=round(most, 6)), words, more / 0.03)


def resized(outline: Outline, *, by_mm: float) -> Outline:
    """The outline grown all round (shrunk where negative), its corners with it."""

    def grown(value: float | None, times: float) -> float | None:
        return None if value is None else max(0.0, round(value + times * by_mm, 4))

    if outline.points_mm is not None:
        spread = math.hypot(
            *(max(p[i] for p in outline.points_mm) - min(p[i] for p in outline.points_mm) for i in (0, 1))
        )
        factor = 1 + 2 * math.sqrt(2) * by_mm / spread
        return replace(outline, points_mm=tuple((x * factor, y * factor) for x, y in outline.points_mm))
    return replace(
        outline,
        diameter_mm=grown(outline.diameter_mm, 2),
        length_mm=grown(outline.length_mm, 2),
        width_mm=grown(outline.width_mm, 2),
        corner_radius_mm=grown(outline.corner_radius_mm, 1),
    )


def target_shift(case: Case, rows: Rows) -> float:
    """By how much the target would have to grow all round for its limits to hold these rows best, mm."""
    short = _short(case, rows)
    low, high = float(np.min(short)), float(np.max(short))
    middle = (case.rules.inside_target_max_mm - case.rules.outside_target_max_mm) / 2
    return round(middle - (low + high) / 2, 3)


def used_of(case: Case, rows: Rows) -> dict[float, int]:
    """How many stones of each size rows take."""
    d = np.concatenate([row[2] for row in rows])
    return {size: int(np.sum(np.abs(d - size) < 1e-9)) for size in sorted(set(d.tolist()))}


def _stock(case: Case, rows: Rows) -> Change | None:
    if case.melee.stock is None:
        return None
    used = used_of(case, rows)
    have = dict(zip(case.melee.sizes_mm, case.melee.stock, strict=True))
    missing = {size: count - have[size] for size, count in used.items() if count > have[size]}
    stock = tuple(max(count, used.get(size, 0)) for size, count in have.items())
    words = " and ".join(f"{count} more of {size_label(size)} mm" for size, count in missing.items())
    return Change(case.with_melee(stock=stock), words, 0.5 * len(missing) + 0.25 * sum(missing.values()))


def _finer(case: Case) -> Case:
    """The same drawer with every twentieth of a millimetre between and a little around its sizes."""
    sizes = case.melee.sizes_mm
    low, high = max(0.6, sizes[0] - 0.25), sizes[-1] + 0.25
    extra = np.arange(math.ceil(low * 20 - 1e-9), math.floor(high * 20 + 1e-9) + 1) / 20
    far = [float(size) for size in extra if min(abs(size - have) for have in sizes) > 0.004]
    listed = tuple(sorted({*sizes, *(round(size, 3) for size in far)}))
    if case.melee.stock is None:
        return case.with_melee(sizes_mm=listed)
    have = dict(zip(sizes, case.melee.stock, strict=True))
    return case.with_melee(sizes_mm=listed, stock=tuple(have.get(size, 100_000) for size in listed))


def _sizes(case: Case, rows: Rows) -> Change | None:
    used = used_of(case, rows)
    added = [size for size in used if size not in case.melee.sizes_mm]
    listed = tuple(sorted({*case.melee.sizes_mm, *added}))
    stock = None
    if case.melee.stock is not None:
        have = dict(zip(case.melee.sizes_mm, case.melee.stock, strict=True))
        stock = tuple(have.get(size, used.get(size, 0)) for size in listed)
    words = "add " + " and ".join(f"{size_label(size)} mm ({used[size]} stones)" for size in added)
    return Change(case.with_melee(sizes_mm=listed, stock=stock), words, 0.8 * len(added) + 0.2)


def _bare(case: Case, rows: Rows) -> Change | None:
    assert case.rules.bare_radius_max_mm is not None
    radius = up(bare_of(case, rows)[0] + 1e-4)
    words = f"a bare spot of radius {radius:.3f} mm instead of {case.rules.bare_radius_max_mm:.3f}"
    return Change(
        case.with_rules(bare_radius_max_mm=round(radius, 6)),
        words,
        (radius - case.rules.bare_radius_max_mm) / 0.05,
    )


def _no_rays(case: Case, rows: Rows) -> Change | None:
    return Change(case.with_rules(stone_on_deg=()), "no stone asked for on a ray", 2.0)


def _rows_apart(case: Case, rows: Rows) -> Change | None:
    (ix, iy, inner), (x, y, d) = rows
    near = np.min(np.hypot(x[:, None] - ix, y[:, None] - iy) - (d[:, None] + inner) / 2, axis=1)
    most = up(float(np.max(near)))
    words = f"rows up to {most:.3f} mm apart instead of {case.rules.row_gap_max_mm:.3f}"
    return Change(
        case.with_rules(row_gap_max_mm=round(most, 6)), words, (most - case.rules.row_gap_max_mm) / 0.03
    )


def _lower(case: Case, rows: Rows) -> Change | None:
    return Change(replace(case, symmetry="any"), "a lower symmetry", 2.5)


def _apply(
    change: Callable[[Case], Case], *, when: Callable[[Case], bool] = lambda case: True
) -> Callable[[Case], Case | None]:
    return lambda case: change(case) if when(case) else None


PROBES: tuple[Probe, ...] = (
    Probe(_apply(lambda c: c.with_rules(gap_max_mm=c.rules.gap_max_mm + 0.06)), _largest_gap, limits=True),
    Probe(
        _apply(lambda c: c.with_rules(clearance_max_mm=c.rules.clearance_max_mm + 0.12)),
        _wider_clearance,
        limits=True,
    ),
    Probe(_apply(_finer), _sizes),
    Probe(_apply(lambda c: c.with_melee(stock=None), when=lambda c: c.melee.stock is not None), _stock),
    Probe(
        _apply(
            lambda c: c.with_rules(inside_target_max_mm=c.rules.inside_target_max_mm + 0.25),
            when=lambda c: c.target is not None,
        ),
        _inside,
        limits=True,
    ),
    Probe(
        _apply(
            lambda c: c.with_rules(outside_target_max_mm=c.rules.outside_target_max_mm + 0.25),
            when=lambda c: c.target is not None,
        ),
        _outside,
        limits=True,
    ),
    Probe(
        _apply(lambda c: c.with_rules(gap_min_mm=0.0), when=lambda c: c.rules.gap_min_mm > 0),
        _least_gap,
        limits=True,
    ),
    Probe(
        _apply(
            lambda c: c.with_rules(clearance_mm=max(0.0, c.rules.clearance_mm - 0.06)),
            when=lambda c: c.rules.clearance_mm > 0.02,
        ),
        _closer,
        limits=True,
    ),
    Probe(
        _apply(lambda c: c.with_rules(size_step_max_mm=5.0), when=lambda c: c.rules.size_step_max_mm < 0.5),
        _step,
    ),
    Probe(
        _apply(
            lambda c: c.with_rules(bare_radius_max_mm=None),
            when=lambda c: c.rules.bare_radius_max_mm is not None,
        ),
        _bare,
    ),
    Probe(
        _apply(lambda c: c.with_rules(stone_on_deg=()), when=lambda c: bool(c.rules.stone_on_deg)), _no_rays
    ),
    Probe(
        _apply(
            lambda c: c.with_rules(row_gap_max_mm=c.rules.row_gap_max_mm + 0.15), when=lambda c: c.rows == 2
        ),
        _rows_apart,
    ),
    Probe(
        _apply(lambda c: replace(c, symmetry="any"), when=lambda c: c.symmetry in ("D4", "D2", "D1")), _lower
    ),
)
