"""
Published figures held against our own.

They stand in ``gemcalc/printed/*.toml``, as printed in their source; tests and pages read the same files.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib import resources
from typing import Any, Literal

from gemcalc.errors import BadInput


@dataclass(frozen=True, kw_only=True)
class Check:
    """
    One published figure and the call that should reproduce it.

    Args:
        subject: Name of the file it stands in.
        what: What is figured, in words.
        call: Function, as a dotted path inside the package.
        args: Its arguments.
        pick: Path into the answer (names or numbers joined by dots), or empty for the answer itself.
        printed: The figure as printed in the source.
        source: Key of the source.
        where: Page, table or example of the source.
        tolerance: Accepted difference; half of the last printed digit unless `why` says otherwise.
        why: Why the tolerance is wider, or empty.
    """

    subject: str
    what: str
    call: str
    args: Mapping[str, Any]
    pick: str
    printed: str
    source: str
    where: str
    tolerance: Decimal
    why: str


@dataclass(frozen=True, kw_only=True)
class Limit:
    """
    A figure that the test suite measures against open data or a library, and the limit it must keep.

    Args:
        subject: Name of the file it stands in.
        name: Name by which the test asks for it.
        what: What is measured, in words.
        kind: `at_most` or `at_least`.
        limit: The limit.
        measured: What was measured when the limit was set.
        unit: Unit of both.
        source: Key of the source.
    """

    subject: str
    name: str
    what: str
    kind: Literal["at_most", "at_least"]
    limit: Decimal
    measured: Decimal
    unit: str
    source: str

    def keeps(self, *, value: float) -> bool:
        """Whether *value*, in the same unit, keeps the limit."""
        return value <= self.limit if self.kind == "at_most" else value >= self.limit


def half_last_digit(*, printed: str) -> Decimal:
    """
    Half of the last digit of a printed figure.

    Args:
        printed: A decimal number as printed, such as `0.200`.

    Returns:
        The tolerance that the printing itself leaves.

    Raises:
        BadInput: it is not a plain number.

    Source:
        exact-geometry

    >>> half_last_digit(printed="0.200")
    Decimal('0.0005')
    """
    if not _is_number(printed):
        raise BadInput("must be a plain decimal number", field="printed")
    _, _, decimals = printed.partition(".")
    return Decimal(5).scaleb(-len(decimals) - 1)


@cache
def checks() -> tuple[Check, ...]:
    """
    Every printed check that the package carries, in the order of the files.

    Returns:
        The checks.

    Raises:
        BadInput: a row leaves out a field, or widens its tolerance without saying why.

    Source:
        exact-geometry

    >>> len(checks()) > 60
    True
    """
    return tuple(_check(subject, row) for subject, data in _files() for row in data.get("check", ()))


@cache
def limits() -> tuple[Limit, ...]:
    """
    Every limit that the test suite measures against the outside.

    Returns:
        The limits.

    Raises:
        BadInput: a row leaves out a field.

    Source:
        exact-geometry

    >>> any(limit.name == "diamonds-plain-median" for limit in limits())
    True
    """
    return tuple(_limit(subject, row) for subject, data in _files() for row in data.get("limit", ()))


@cache
def _files() -> tuple[tuple[str, dict[str, Any]], ...]:
    folder = resources.files("gemcalc") / "printed"
    files = sorted(
        (file for file in folder.iterdir() if file.name.endswith(".toml")), key=lambda file: file.name
    )
    return tuple((file.name.removesuffix(".toml"), tomllib.loads(file.read_text("utf-8"))) for file in files)


def _is_number(printed: str) -> bool:
    return printed.removeprefix("-").replace(".", "", 1).isdecimal()


def _need(subject: str, row: Mapping[str, Any], field: str) -> Any:
    if field not in row:
        raise BadInput(f"{subject}.toml: a row has no {field}: {dict(row)}", field=field)
    return row[field]


def _check(subject: str, row: Mapping[str, Any]) -> Check:
    printed, why = str(_need(subject, row, "printed")), str(row.get("why", ""))
    if "tolerance" in row and not why:
        raise BadInput(f"{subject}.toml: a wider tolerance needs its why ({row.get('what')})", field="why")
    tolerance = Decimal(0)
    if "tolerance" in row:
        tolerance = Decimal(str(row["tolerance"]))
    elif _is_number(printed):
        tolerance = half_last_digit(printed=printed)
    return Check(
        subject=subject,
        what=_need(subject, row, "what"),
        call=_need(subject, row, "call"),
        args={name: _frozen(value) for name, value in _need(subject, row, "args").items()},
        pick=str(row.get("pick", "")),
        printed=printed,
        source=_need(subject, row, "source"),
        where=_need(subject, row, "where"),
        tolerance=tolerance,
        why=why,
    )


def _limit(subject: str, row: Mapping[str, Any]) -> Limit:
    kind: Literal["at_most", "at_least"] = "at_most" if "at_most" in row else "at_least"
    return Limit(
        subject=subject,
        name=_need(subject, row, "name"),
        what=_need(subject, row, "what"),
        kind=kind,
        limit=Decimal(str(_need(subject, row, kind))),
        measured=Decimal(str(_need(subject, row, "measured"))),
        unit=_need(subject, row, "unit"),
        source=_need(subject, row, "source"),
    )


def _frozen(value: Any) -> Any:
    return tuple(_frozen(item) for item in value) if isinstance(value, list) else value
