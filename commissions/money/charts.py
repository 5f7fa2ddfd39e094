"""
Three small charts as SVG, drawn here: steps over time, bars by week, pairs of bars.

Pure: figures and words in, markup out. Colours belong to the page's style sheet (class ``chart``), so they
follow light and dark; what a colour says is said by words and by shape as well. Each is drawn 360 units wide,
so that its letters can be read on a narrow phone, and its page gives the same figures as a table.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe

WIDTH = 360
LEFT, RIGHT, TOP, FOOT = 8, 8, 22, 24

Words = Callable[[int], str]
"""How a sum is written on the chart."""


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One bar: its words, its sum, and whether it is late."""

    words: str
    minor: int
    late: bool = False


@dataclass(frozen=True, kw_only=True)
class Pair:
    """One job: what it was to cost and what it has cost so far."""

    words: str
    forecast: int
    actual: int


def _svg(*, height: float, says: str, parts: Sequence[str]) -> SafeString:
    body = mark_safe("".join(parts))  # noqa: S308 - every part was made by format_html
    return format_html(
        '<svg class="chart" viewBox="0 0 {} {}" role="img" aria-label="{}">{}</svg>',
        WIDTH,
        _n(height),
        says,
        body,
    )


def _n(figure: float) -> str:
    """A coordinate with one decimal at most."""
    return f"{round(Decimal(figure), 1).normalize():f}"


def _text(x: float, y: float, words: str, *, anchor: str = "start", kind: str = "") -> SafeString:
    return format_html(
        '<text x="{}" y="{}" text-anchor="{}"{}>{}</text>',
        _n(x),
        _n(y),
        anchor,
        format_html(' class="{}"', kind) if kind else "",
        words,
    )


def _rule(y: float, *, x: float = LEFT) -> SafeString:
    return format_html('<line x1="{}" x2="{}" y1="{}" y2="{}"/>', _n(x), WIDTH - RIGHT, _n(y), _n(y))


def steps(*, points: Sequence[tuple[str, int]], says: str, words: Words, height: int = 150) -> SafeString:
    """
    A balance that stands from one point to the next: an area with steps, its highest and last sum written.

    Args:
        points: Words of the moment and the balance from then on, oldest first; at least one.
        says: What the chart says, for whoever hears it.
        words: How a sum is written.
    """
    most = max(1, *(minor for _when, minor in points))
    wide, tall = WIDTH - LEFT - RIGHT, height - TOP - FOOT
    step = wide / len(points)

    def y(minor: int) -> float:
        return TOP + tall * (1 - max(0, minor) / most)

    path = [f"M{_n(LEFT)} {_n(TOP + tall)}"]
    for place, (_when, minor) in enumerate(points):
        path.append(f"V{_n(y(minor))}H{_n(LEFT + step * (place + 1))}")
    path.append(f"V{_n(TOP + tall)}Z")
    high = max(range(len(points)), key=lambda place: points[place][1])
    last = len(points) - 1
    parts = [
        format_html('<path class="area" d="{}"/>', "".join(path)),
        _rule(TOP + tall),
        _text(LEFT, height - 8, points[0][0]),
        _text(WIDTH - RIGHT, height - 8, points[-1][0], anchor="end"),
    ]
    for place in {high, last}:
        x = LEFT + step * (place + 0.5)
        anchor = "start" if x < WIDTH / 3 else "end" if x > WIDTH * 2 / 3 else "middle"
        edge = LEFT if anchor == "start" else WIDTH - RIGHT if anchor == "end" else x
        if place != high and abs(x - (LEFT + step * (high + 0.5))) < WIDTH / 2.5:
            continue  # the two would be written over one another: the table has both
        parts.append(_text(edge, y(points[place][1]) - 6, words(points[place][1]), anchor=anchor, kind="sum"))
    return _svg(height=height, says=says, parts=parts)


def bars(*, rows: Sequence[Bar], says: str, words: Words, height: int = 150) -> SafeString:
    """Upright bars, each with its sum above and its words below; what is late is said by its words and coloured."""
    most = max(1, *(row.minor for row in rows))
    wide, tall = WIDTH - LEFT - RIGHT, height - TOP - FOOT
    step = wide / len(rows)
    parts: list[str] = [_rule(TOP + tall)]
    for place, row in enumerate(rows):
        long = tall * row.minor / most
        x, y = LEFT + step * place, TOP + tall - long
        if row.minor:
            parts.append(
                format_html(
                    '<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>',
                    "late" if row.late else "due",
                    _n(x + step * 0.14),
                    _n(y),
                    _n(step * 0.72),
                    _n(max(long, 1)),
                )
            )
            parts.append(_text(x + step / 2, y - 5, words(row.minor), anchor="middle", kind="sum"))
        parts.append(_text(x + step / 2, height - 8, row.words, anchor="middle"))
    return _svg(height=height, says=says, parts=parts)


def pairs(*, rows: Sequence[Pair], says: str, words: Words) -> SafeString:
    """Lying bars in pairs: the forecast an outline, what it has cost filled, over the forecast in the stop colour."""
    most = max(1, *(max(row.forecast, row.actual) for row in rows))
    label, each = 62, 34
    wide = WIDTH - label - RIGHT - 74
    parts: list[str] = []
    for place, row in enumerate(rows):
        y = 6 + place * each
        over = bool(row.forecast) and row.actual > row.forecast
        parts += [
            _text(0, y + 17, row.words, kind="sum"),
            format_html(
                '<rect class="forecast" x="{}" y="{}" width="{}" height="9"/>',
                label,
                _n(y + 2),
                _n(max(1, wide * row.forecast / most)),
            ),
            _text(label + wide * row.forecast / most + 5, y + 10.5, words(row.forecast)),
            format_html(
                '<rect class="{}" x="{}" y="{}" width="{}" height="9"/>',
                "late" if over else "due",
                label,
                _n(y + 14),
                _n(max(1, wide * row.actual / most)),
            ),
            _text(
                label + wide * row.actual / most + 5,
                y + 22.5,
                words(row.actual) + (" over" if over else ""),
                kind="over" if over else "",
            ),
        ]
    return _svg(height=8 + each * len(rows), says=says, parts=parts)
