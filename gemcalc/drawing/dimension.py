"""Dimension lines, the check bar and the orientation mark."""

from __future__ import annotations

from collections.abc import Sequence

from gemcalc.drawing.scene import Item, Path, Point, label, line

Span = tuple[float, float, str]


def across(
    left: float,
    right: float,
    y: float,
    text: str,
    size: float,
    *,
    from_y: Sequence[float] = (),
    above: bool = False,
) -> list[Item]:
    """
    A level dimension from *left* to *right* at height *y*.

    Args:
        left, right, y: Ends and height of the line, mm.
        text: The figure.
        size: Size of its letters, mm.
        from_y: Heights at which the thin lines start at the left and at the right, if they are wanted.
        above: Whether the figure stands above the line; otherwise below.
    """
    tick = 0.42 * size
    items: list[Item] = [line("dim", (left, y), (right, y))]
    for place, x in enumerate((left, right)):
        items.append(line("dim", (x, y - tick), (x, y + tick)))
        if from_y:
            items.append(line("extension", (x, from_y[place]), (x, y)))
    baseline = y + 0.45 * size if above else y - 1.15 * size
    return [*items, label(text, (left + right) / 2, baseline, size)]


def upright(
    low: float,
    high: float,
    x: float,
    text: str,
    size: float,
    *,
    from_x: Sequence[float] = (),
    left: bool = False,
) -> list[Item]:
    """An upright dimension from *low* to *high* at *x*; the figure stands to its right, or to its left."""
    tick = 0.42 * size
    items: list[Item] = [line("dim", (x, low), (x, high))]
    for place, y in enumerate((low, high)):
        items.append(line("dim", (x - tick, y), (x + tick, y)))
        if from_x:
            items.append(line("extension", (from_x[place], y), (x, y)))
    at, anchor = (x - 0.5 * size, "end") if left else (x + 0.5 * size, "start")
    return [*items, label(text, at, (low + high) / 2, size, anchor=anchor, middle=True)]


def chain(x: float, spans: Sequence[Span], size: float, *, from_x: float, outwards: float) -> list[Item]:
    """
    A chain of upright dimensions on one line, their words spread so that none lies on another.

    Args:
        x: Place of the line, mm.
        spans: (low, high, text) of each, mm, one after the other from below.
        size: Size of the letters, mm.
        from_x: Where the thin lines start.
        outwards: How far beyond the line the words stand, mm.
    """
    levels = sorted({level for low, high, _ in spans for level in (low, high)})
    items: list[Item] = [line("dim", (x, levels[0]), (x, levels[-1]))]
    for level in levels:
        items.append(line("dim", (x - 0.35 * size, level), (x + 0.35 * size, level)))
        items.append(line("extension", (from_x, level), (x, level)))
    wanted = [(low + high) / 2 for low, high, _ in spans]
    for (_, _, text), middle, place in zip(spans, wanted, spread(wanted, 1.25 * size), strict=True):
        at = x + outwards
        if abs(place - middle) > 0.05 * size:
            items.append(line("extension", (x, middle), (at - 0.5 * size, place), (at - 0.15 * size, place)))
        items.append(label(text, at, place, size, anchor="start", middle=True))
    return items


def spread(wanted: Sequence[float], least: float) -> list[float]:
    """Places as near as can be to the rising *wanted* ones with at least *least* between neighbours."""
    groups = [[value, 1.0] for value in wanted]
    # Each group is (middle, how many); groups that would touch merge about their common middle.
    merged: list[list[float]] = []
    for middle, count in groups:
        merged.append([middle, count])
        while len(merged) > 1:
            (m0, n0), (m1, n1) = merged[-2], merged[-1]
            if m1 - m0 >= least * (n0 + n1) / 2:
                break
            merged[-2:] = [[(m0 * n0 + m1 * n1) / (n0 + n1), n0 + n1]]
    places: list[float] = []
    for middle, count in merged:
        places += [middle + least * (k - (count - 1) / 2) for k in range(int(count))]
    return places


def check_bar(left: float, y: float, size: float, *, long: int = 10, step: int = 1) -> list[Item]:
    """A bar of exactly *long* mm from *left* at height *y*: whoever prints lays a rule to it."""
    tall = 0.34 * size
    items: list[Item] = []
    for place in range(0, long, step):
        x = left + place
        box = ((x, y), (x + step, y), (x + step, y + tall), (x, y + tall))
        items.append(line("bar" if place // step % 2 == 0 else "barless", *box, closed=True))
    return [
        *items,
        label(f"{long} mm", left + long + 0.5 * size, y - 0.06 * size, size, anchor="start", kind="note"),
    ]


def north(x: float, y: float, size: float) -> Path:
    """The orientation mark: a small triangle whose foot is at (x, y) and which points up."""
    return line("north", (x, y + 0.85 * size), (x - 0.34 * size, y), (x + 0.34 * size, y), closed=True)


def pointer(tip: Point, direction: Point, size: float) -> Path:
    """A small arrowhead with its *tip* at a place, coming from *direction* (a unit vector)."""
    (x, y), (dx, dy) = tip, direction
    back = (x + size * dx, y + size * dy)
    side = 0.32 * size
    return line(
        "pointer",
        tip,
        (back[0] - side * dy, back[1] + side * dx),
        (back[0] + side * dy, back[1] - side * dx),
        closed=True,
    )
