"""Where our figures come from: every source with the checks that lean on it and how close they come."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib import import_module
from typing import Any

from gemcalc.checks import Check, Limit, checks, limits
from gemcalc.errors import BadInput
from gemcalc.sources import SOURCES, Source


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """
    A check as it comes out today.

    Args:
        check: The check.
        found: Our own figure, written to two digits more than the printed one.
        difference: Found less printed, or None where words are compared.
        holds: Whether it lies within the tolerance.
    """

    check: Check
    found: str
    difference: float | None
    holds: bool


@dataclass(frozen=True, kw_only=True)
class Evidence:
    """
    One source and what leans on it.

    Args:
        source: Citation and mark.
        outcomes: Its printed checks as they come out.
        limits: The limits measured against it by the test suite.
        holding: How many of the printed checks hold.
        worst_share: Greatest difference as a share of its tolerance, or None where no number is compared.
    """

    source: Source
    outcomes: tuple[Outcome, ...]
    limits: tuple[Limit, ...]
    holding: int
    worst_share: float | None


def run(*, check: Check) -> Outcome:
    """
    Work a check out and compare.

    Args:
        check: The check.

    Returns:
        Our figure, the difference and whether it holds.

    Raises:
        BadInput: the call or the path into its answer does not exist.

    Source:
        exact-geometry

    >>> run(check=checks()[0]).holds
    True
    """
    found = _pick(_function(check.call)(**check.args), check.pick)
    if isinstance(found, bool) or not isinstance(found, int | float | Decimal):
        return Outcome(check=check, found=str(found), difference=None, holds=str(found) == check.printed)
    difference = float(found) - float(check.printed)
    places = len(check.printed.partition(".")[2]) + 2
    # One part in a thousand million is given to the last bit of floating point, never to a wrong digit.
    holds = abs(difference) <= float(check.tolerance) + 1e-9 * abs(float(check.printed))
    return Outcome(check=check, found=f"{float(found):.{places}f}", difference=difference, holds=holds)


@cache
def evidence() -> tuple[Evidence, ...]:
    """
    Every source with its checks as they come out, sources with most checks first.

    Returns:
        One row a source; the checks run once in the life of the process.

    Raises:
        BadInput: a check cannot be run.

    Source:
        exact-geometry

    >>> evidence()[0].holding == len(evidence()[0].outcomes)
    True
    """
    outcomes = [run(check=check) for check in checks()]
    rows = []
    for source in SOURCES.values():
        mine = tuple(outcome for outcome in outcomes if outcome.check.source == source.key)
        shares = [
            abs(outcome.difference) / float(outcome.check.tolerance)
            for outcome in mine
            if outcome.difference is not None and outcome.check.tolerance
        ]
        rows.append(
            Evidence(
                source=source,
                outcomes=mine,
                limits=tuple(limit for limit in limits() if limit.source == source.key),
                holding=sum(outcome.holds for outcome in mine),
                worst_share=max(shares, default=None),
            )
        )
    return tuple(sorted(rows, key=lambda row: -len(row.outcomes) - len(row.limits)))


def _function(call: str) -> Any:
    parts = call.split(".")
    for cut in range(len(parts) - 1, 0, -1):
        name = "gemcalc." + ".".join(parts[:cut])
        try:
            found: Any = import_module(name)
        except ModuleNotFoundError:
            continue
        for part in parts[cut:]:
            found = getattr(found, part, None)
        if found is not None:
            return found
    raise BadInput(f"there is no figure called {call}", field="call")


def _pick(answer: Any, path: str) -> Any:
    for part in path.split(".") if path else ():
        if isinstance(answer, Mapping):
            answer = answer[part]
        elif isinstance(answer, tuple | list):
            answer = answer[int(part)]
        else:
            answer = getattr(answer, part)
    return answer
