"""
What claws cover of the marks on a stone's face, exactly, as the stone turns.

A mark is a disc, a claw covers everything farther out than its tip within its width.
Overlapping claws are first cut into cells that do not overlap.
Each edge of a cell then makes one ramp per mark: while the disc passes under the edge,
the covered share of its area rises from nothing to all that lies far enough out, by a closed formula.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.intp]
Flags = NDArray[np.bool_]

FULL = 2 * np.pi
LAPS = np.array([-2.0, -1.0, 0.0, 1.0])
CENTRED = 1e-12


@dataclass(frozen=True, kw_only=True)
class Mark:
    """
    One mark on the stone's face.

    Args:
        r: Distance from the centre, 0 at the centre to 1 at the girdle.
        angle_deg: Direction from the centre, degrees anticlockwise from +x.
        size: Diameter of its disc, in the unit of *r*.
        severity: How much it hurts the look, any scale, 0 or more.
    """

    r: float
    angle_deg: float
    size: float
    severity: float = 1.0


@dataclass(frozen=True, kw_only=True)
class Claw:
    """
    One claw seen from above, covering ``r ≥ inner_r`` within *half_width_deg* of *angle_deg*.

    Args:
        angle_deg: Its direction from the centre, degrees anticlockwise from +x.
        half_width_deg: Half the angle that it covers, degrees.
        inner_r: How far in its tip reaches, 0 at the centre to 1 at the girdle.
    """

    angle_deg: float
    half_width_deg: float
    inner_r: float


@dataclass(frozen=True)
class Cell:
    """
    A part of the face that claws cover: from *start* (rad) over *width* (rad), everything beyond *inner_r*.
    """

    start: float
    width: float
    inner_r: float


def claw_cells(claws: Sequence[Claw]) -> list[Cell]:
    """The claws' union as cells that do not overlap: where claws do, the one reaching farthest in counts."""
    edges = {0.0}
    spans = []
    for claw in claws:
        half = np.radians(min(claw.half_width_deg, 180.0))
        start = float((np.radians(claw.angle_deg) - half) % FULL)
        spans.append((start, float(2 * half), claw.inner_r))
        edges.update((start, (start + 2 * half) % FULL))
    places = [*sorted(edges), FULL]
    cells: list[Cell] = []
    for low, high in pairwise(places):
        middle = (low + high) / 2
        reach = [inner for start, width, inner in spans if (middle - start) % FULL < width]
        if not reach or high - low < 1e-12:
            continue
        inner = min(reach)
        if cells and cells[-1].inner_r == inner and abs(cells[-1].start + cells[-1].width - low) < 1e-12:
            cells[-1] = Cell(cells[-1].start, high - cells[-1].start, inner)
        else:
            cells.append(Cell(low, high - low, inner))
    meets = len(cells) > 1 and cells[0].start == 0 and abs(cells[-1].start + cells[-1].width - FULL) < 1e-12
    if meets and cells[0].inner_r == cells[-1].inner_r:
        last = cells.pop()
        cells[0] = Cell(last.start, last.width + cells[0].width, last.inner_r)
    return cells


@dataclass(frozen=True)
class Ramps:
    """
    Every passing of a mark under an edge while the stone turns once, one position in each array per passing.

    At the turn *at* (rad) the disc's centre stands at the edge;
    the passing lasts from *reach* before to *reach* after.
    *sign* is +1 where the disc comes under a claw and −1 where it leaves it;
    *far* is the share that is covered in the end.
    *inner*, *bend* and *tail* say how the tip's circle cuts the disc (see :func:`half_share`),
    *cut* whether it does.
    *base* is the share of every mark that is covered before any passing begins,
    *weights* the marks' weights, sum 1.
    """

    mark: Whole
    at: Floats
    reach: Floats
    sign: Floats
    r: Floats
    rho: Floats
    inner: Floats
    bend: Floats
    tail: Floats
    far: Floats
    base: Floats
    weights: Floats
    cut: Flags

    def share(self, index: Whole, after: Floats) -> Floats:
        """
        Share of the disc past the edge when the stone is turned
        *after* (rad) beyond ``at``, from 0 to ``far``.
        """

        wide = (slice(None), None) if after.ndim == 2 else slice(None)
        reach, r, rho = self.reach[index][wide], self.r[index][wide], self.rho[index][wide]
        after = np.minimum(np.maximum(after, -reach), reach)
        # Where no tip cuts the disc this is the area of a circle on one side of a line.
        line = np.minimum(np.maximum(r * np.sin(after) / rho, -1.0), 1.0)
        share: Floats = 0.5 + (line * np.sqrt(1.0 - line * line) + np.arcsin(line)) / np.pi
        odd = np.flatnonzero(self.cut[index])
        if len(odd):
            of = index[odd]
            part = after[odd]
            inner, bend, tail, far = (
                values[of][wide] for values in (self.inner, self.bend, self.tail, self.far)
            )
            half = half_share(r[odd], rho[odd], inner, bend, tail, np.abs(part))
            share[odd] = far / 2 + np.copysign(half, part)
        return share

    def _rises(self, turns: Floats) -> Floats:
        after = (turns % FULL)[None, :] - self.at[:, None]
        reach = self.reach[:, None]
        rises = np.where(after >= reach, self.far[:, None], 0.0)
        passing, place = np.nonzero(np.abs(after) < reach)
        rises[passing, place] = self.share(passing, after[passing, place])
        return rises * self.sign[:, None]

    def covered(self, turn: float) -> Floats:
        """Covered share of every mark, each 0 to 1, with the stone turned by *turn* (rad)."""
        rises = self._rises(np.array([turn]))[:, 0]
        covered: Floats = self.base + np.bincount(self.mark, weights=rises, minlength=len(self.base))
        return np.minimum(np.maximum(covered, 0.0), 1.0)

    def hidden(self, turns: Floats) -> Floats:
        """Weighted covered share over all marks, 0 to 1, with the stone turned by each of *turns* (rad)."""
        hidden: Floats = self.base @ self.weights + self.weights[self.mark] @ self._rises(turns)
        return hidden


def half_share(r: Floats, rho: Floats, inner: Floats, bend: Floats, tail: Floats, angle: Floats) -> Floats:
    """
    Share of a disc's area beyond *inner* within *angle* (rad, from 0) to one side of its own direction.

    Up to the angle *bend*, where the disc's rim meets the tip's circle,
    the area runs from the tip's circle to the far rim.
    Past it, where *tail* is 1, it runs from the near rim to the far rim; where *tail* is 0 there is none.
    """
    near = np.minimum(angle, bend)
    lune = _lune(r, rho, near)
    bent = 0.5 * (0.5 * r * r * np.sin(2 * near) + (rho * rho - inner * inner) * near + lune)
    share: Floats = (bent + tail * (_lune(r, rho, angle) - lune)) / (np.pi * rho * rho)
    return share


def _lune(r: Floats, rho: Floats, angle: Floats) -> Floats:
    """Area of the disc between its own direction and the ray at *angle*."""
    line = np.minimum(np.maximum(r * np.sin(angle) / rho, -1.0), 1.0)
    area: Floats = rho * rho * (line * np.sqrt(1.0 - line * line) + np.arcsin(line))
    return area


def _profile(r: Floats, rho: Floats, inner: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Bend, tail, reach and whole covered share of the discs for tips at *inner* (see :func:`half_share`)."""
    over_centre = r < rho
    cos = (r * r + inner * inner - rho * rho) / np.maximum(2 * r * inner, 1e-300)
    crossing = np.arccos(np.minimum(np.maximum(cos, -1.0), 1.0))
    none = inner >= r + rho
    whole = inner <= np.abs(r - rho)
    bend = np.where(none, 0.0, np.where(whole, np.where(over_centre, np.pi, 0.0), crossing))
    # The tip's circle meets the near rim where it lies within the tangent's length, else the far rim.
    near_rim = ~none & ~over_centre & (whole | (inner * inner < r * r - rho * rho))
    tail = np.where(near_rim, 1.0, 0.0)
    widest = np.arcsin(np.minimum(rho / np.maximum(r, 1e-300), 1.0))
    reach = np.where(near_rim, widest, bend)
    far = 2 * half_share(r, rho, inner, bend, tail, reach)
    return bend, tail, reach, np.where(none, 0.0, far)


def ramps(marks: Sequence[Mark], claws: Sequence[Claw]) -> Ramps:
    """
    All passings of the *marks* under the *claws* in one full turn of the stone,
    and what is covered before them.
    """
    r, angle, rho, severity = np.array(
        [(mark.r, np.radians(mark.angle_deg), mark.size / 2, mark.severity) for mark in marks]
    ).T
    weights = severity * rho * rho
    weights = weights / weights.sum()
    cells = claw_cells(claws)
    start, width, inner = (
        np.array([(cell.start, cell.width, cell.inner_r) for cell in cells]).reshape(-1, 3).T
    )
    bend, tail, reach, far = _profile(r, rho, inner[:, None])
    # A disc on the very centre, or under a claw that goes all round,
    # keeps its share however the stone is turned.
    still = (r < CENTRED) | (width[:, None] >= FULL - 1e-12)
    base = np.where(still, far * width[:, None] / FULL, 0.0).sum(axis=0)

    # Axes: cells, the two edges of each, laps of the turn, marks.
    # Laps from −2 to 1 hold every passing in one turn.
    edges = np.stack((np.zeros_like(width), width), axis=1)
    at = ((start[:, None] - angle) % FULL)[:, None, None, :] + edges[:, :, None, None] + LAPS[:, None] * FULL
    reach4 = np.broadcast_to(reach[:, None, None, :], at.shape)
    sign4 = np.broadcast_to(np.array([1.0, -1.0])[:, None, None], at.shape)
    far4 = np.broadcast_to(np.where(still, 0.0, far)[:, None, None, :], at.shape)
    base = base + np.where(at + reach4 <= 0, sign4 * far4, 0.0).sum(axis=(0, 1, 2))
    live = np.nonzero((far4 > 0) & (at + reach4 > 0) & (at - reach4 < FULL))
    cell, mark = live[0], live[3]
    pair = (cell, mark)
    tails, bends = tail[pair], bend[pair]
    return Ramps(
        mark=mark,
        at=at[live],
        reach=reach[pair],
        sign=sign4[live],
        r=r[mark],
        rho=rho[mark],
        inner=inner[cell],
        bend=bends,
        tail=tails,
        far=far[pair],
        base=base,
        weights=weights,
        cut=(tails == 0) | (bends > 0),
    )
