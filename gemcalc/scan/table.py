"""
Points from a table of numbers: commas, semicolons, tabs, bars or spaces,
decimal point or comma, header or none.
"""

from __future__ import annotations

import csv
import io
import re

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.scan.checks import MOST_POINTS
from gemcalc.scan.curves import Drawn

NUMBER = re.compile(r"[+-]?(?:\d{1,12}(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?")
SEPARATORS = (";", "\t", "|", ",", " ")
UNIT_WORDS = {
    "mm": ("mm", 1.0),
    "millimetre": ("mm", 1.0),
    "millimeter": ("mm", 1.0),
    "in": ("inch", 25.4),
    "inch": ("inch", 25.4),
    "inches": ("inch", 25.4),
    "um": ("µm", 0.001),
    "µm": ("µm", 0.001),
    "μm": ("µm", 0.001),
    "micron": ("µm", 0.001),
    "microns": ("µm", 0.001),
    "cm": ("cm", 10.0),
}


def _value(cell: str, *, comma: bool) -> float | None:
    cell = cell.strip()
    if not NUMBER.fullmatch(cell) or ("," in cell and not comma):
        return None
    return float(cell.replace(",", "."))


def _cells(line: str, separator: str) -> list[str]:
    if separator == " ":
        return line.split()
    return next(csv.reader(io.StringIO(line), delimiter=separator), [])


def _separator(lines: list[str]) -> str:
    """
    The separator that makes most rows whole rows of numbers (a decimal
    comma misleads the csv module's own guess).
    """

    def score(separator: str) -> float:
        total = 0.0
        for line in lines:
            values = [
                _value(cell, comma=separator != ",") for cell in _cells(line, separator) if cell.strip()
            ]
            known = sum(value is not None for value in values)
            total += 0.0 if known < 2 else 1.0 if known == len(values) else 0.3
        return total

    return max(SEPARATORS, key=score)


def _decoded(content: bytes) -> str:
    for encoding in ("utf-16",) if content[:2] in (b"\xff\xfe", b"\xfe\xff") else ("utf-8-sig", "cp1252"):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise BadInput("is not text: a table of numbers is needed", field="file")


def _header_unit(cells: list[str]) -> tuple[str, float | None]:
    for cell in cells:
        for word in re.findall(r"[a-zµμ]+", cell.lower()):
            if word in UNIT_WORDS:
                return UNIT_WORDS[word]
    return "", None


def _columns(header: list[str]) -> tuple[int, int] | None:
    """Positions of the columns called x and y."""
    names = [re.sub(r"[^a-z]", " ", cell.lower()).split()[:1] for cell in header]
    if ["x"] in names and ["y"] in names:
        return names.index(["x"]), names.index(["y"])
    return None


def read_table(content: bytes) -> Drawn:
    """
    Points of a table, two columns of numbers, further columns ignored.

    Raises:
        BadInput: it is not text, has no two columns of numbers, or too many rows;
            the message names the line at fault.
    """
    text = _decoded(content)
    if "\0" in text:
        raise BadInput("is not text: a table of numbers is needed", field="file")
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith(("#", "//"))]
    if len(lines) > MOST_POINTS:
        raise BadInput(f"has {len(lines):,} rows: at most {MOST_POINTS:,} can be taken", field="file")
    if any(len(line) > 2000 for line in lines):
        raise BadInput("has a line longer than 2000 characters: one point a line is needed", field="file")
    separator = _separator(lines[:60])
    unit, mm_per_unit = "", None
    columns: tuple[int, int] | None = None
    points: list[tuple[float, float]] = []
    unread: list[int] = []
    for place, line in enumerate(lines, start=1):
        try:
            cells = _cells(line, separator)
        except csv.Error:
            cells = []
        values = [_value(cell, comma=separator != ",") for cell in cells]
        pair: list[float | None]
        if columns is not None:
            pair = [values[column] if column < len(values) else None for column in columns]
        else:
            numbers: list[float | None] = [value for value in values if value is not None]
            pair = numbers[:2]
        if len(pair) == 2 and pair[0] is not None and pair[1] is not None:
            points.append((pair[0], pair[1]))
        elif not points and len(unread) < 20:
            # Before the first point a line of words is a header, and may name the columns and the unit.
            columns = _columns(cells) or columns
            found, scale = _header_unit(cells)
            unit, mm_per_unit = (found, scale) if scale else (unit, mm_per_unit)
        else:
            unread.append(place)
    if not points:
        raise BadInput("holds no two columns of numbers", field="file")
    if len(unread) > max(3, 0.02 * len(points)):
        raise BadInput(
            f"has {len(unread)} rows that are not numbers, the first of them row {unread[0]}", field="file"
        )
    notes = (f"{len(unread)} rows without numbers were left out.",) if unread else ()
    return Drawn([], np.array(points, dtype=np.float64), mm_per_unit=mm_per_unit, unit=unit, notes=notes)
