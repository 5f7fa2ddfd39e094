"""What stands below a top view: the sizes with a stone of each, the gaps, the check bar."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import numpy as np

from gemcalc.drawing import dimension
from gemcalc.drawing.scene import WIDE, Circle, Item, label, line
from gemcalc.halo.check import chain

SEEN = 0.55
"""A bare spot is drawn when its radius is at least this share of the smallest stone's."""


MARKS = 8
"""Most gaps that are marked as the widest: as many as the highest symmetry repeats one."""


def legend_items(
    case: Mapping[str, Any],
    layout: Mapping[str, Any] | None,
    stones: list[dict[str, Any]],
    *,
    top: float,
    middle: float,
    size: float,
    sizes: bool,
    gaps: bool,
    bar: bool,
) -> list[Item]:
    """Everything below *top*, centred on *middle*; and the marks of the gaps in the drawing itself."""
    items: list[Item] = []
    level = top - 0.9 * size
    if sizes and stones:
        rows, level = _size_rows(stones, middle=middle, top=level, size=size)
        items += rows
    if gaps and layout and len(stones) >= 3:
        measured = chain.measure(case=case, layout=layout)
        marks, words = _gap_marks(measured, size)
        items += marks
        for sign, text in words:
            level -= 1.35 * size
            indent = 1.3 * size if sign else 0.0
            left = middle - (indent + WIDE * len(text) * size) / 2
            y = level + 0.33 * size
            if sign == "pointer":
                items.append(dimension.pointer((left + 0.8 * size, y), (-1.0, 0.0), 0.62 * size))
            elif sign == "bare":
                items.append(Circle("bare", left + 0.4 * size, y, 0.36 * size))
            items.append(label(text, left + indent, level, size, anchor="start", kind="note"))
    if bar:
        level -= 1.75 * size
        wide = 10 + (0.5 + WIDE * 5) * size
        items += dimension.check_bar(middle - wide / 2, level, size)
    return items


def _size_rows(
    stones: list[dict[str, Any]], *, middle: float, top: float, size: float
) -> tuple[list[Item], float]:
    counts: dict[float, int] = {}
    for stone in stones:
        key = round(stone["diameter_mm"], 4)
        counts[key] = counts.get(key, 0) + 1
    entries = [(key, f"{counts[key]} × {key:.2f}") for key in sorted(counts)]
    shades = {key: place for place, key in enumerate(sorted(counts))}
    rows: list[list[tuple[float, str]]] = [[]]
    for entry in entries:
        if rows[-1] and _row_width([*rows[-1], entry], size) > max(13.0, 24 * size):
            rows.append([])
        rows[-1].append(entry)
    items: list[Item] = []
    for row in rows:
        tall = max(1.2 * size, *(key for key, _ in row))
        y = top - tall / 2
        x = middle - _row_width(row, size) / 2
        for key, text in row:
            items.append(Circle("melee", x + key / 2, y, key / 2))
            items += [Circle("tone", x + key / 2, y, key / 2)] * min(shades[key], 4)
            items.append(
                label(text, x + key + 0.35 * size, y, size, anchor="start", kind="note", middle=True)
            )
            x += _entry_width(key, text, size)
        top -= tall + 0.5 * size
    return items, top + 0.3 * size


def _entry_width(key: float, text: str, size: float) -> float:
    return key + (0.35 + WIDE * len(text) + 0.9) * size


def _row_width(row: list[tuple[float, str]], size: float) -> float:
    return sum(_entry_width(key, text, size) for key, text in row) - 0.9 * size


def _gap_marks(measured: chain.Measured, size: float) -> tuple[list[Item], list[tuple[str, str]]]:
    """Marks where the gap is widest and where a bare spot lies; and the words for both."""
    items: list[Item] = []
    widest, least = -math.inf, math.inf
    for row in measured.rows.values():
        widest, least = max(widest, float(row.gaps.max())), min(least, float(row.gaps.min()))
    spread = widest - least > 0.002
    at = [(row, int(k)) for row in measured.rows.values() for k in np.flatnonzero(row.gaps > widest - 0.001)]
    # A whole row of equal gaps needs no marks: there is no one place to look at.
    marked = spread and len(at) <= MARKS
    for row, place in at if marked else []:
        items += _gap_mark(measured, row, place, size)
    text = f"gaps {least:.3f} to {widest:.3f}" if spread else f"all gaps {widest:.3f}"
    words = [("pointer", f"{text}, widest marked") if marked else ("", text)]
    x, y, radius = measured.bare_spot
    if radius >= SEEN * float(measured.radius.min()):
        items.append(Circle("bare", x, y, radius))
        words.append(("bare", f"bare spot, radius {radius:.2f}"))
    return items, words


def _gap_mark(measured: chain.Measured, row: chain.Row, place: int, size: float) -> list[Item]:
    a, b = row.members[place], row.members[(place + 1) % len(row.members)]
    start, end = measured.at[a], measured.at[b]
    along = (end - start) / np.hypot(*(end - start))
    first, last = start + along * measured.radius[a], end - along * measured.radius[b]
    spot = (first + last) / 2
    out = np.array([along[1], -along[0]])
    if out @ spot < 0:
        out = -out
    # The arrowhead stands outside the notch, where a bead may sit.
    clear = float(min(measured.radius[a], measured.radius[b])) + 0.06 * size
    tip = spot + out * clear
    return [
        line("gap", (float(first[0]), float(first[1])), (float(last[0]), float(last[1]))),
        dimension.pointer((float(tip[0]), float(tip[1])), (float(out[0]), float(out[1])), 0.5 * size),
    ]
