"""Every printed figure is reproduced to half of its last digit, or to a stated tolerance with its reason."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from gemcalc.checks import Check, checks, half_last_digit, limits
from gemcalc.evidence import evidence, run
from gemcalc.sources import SOURCES


@pytest.mark.parametrize(
    "check", [pytest.param(check, id=f"{check.subject}: {check.what}") for check in checks()]
)
def test_our_figure_agrees_with_the_printed_one(check: Check) -> None:
    outcome = run(check=check)
    assert outcome.holds, (
        f"{check.source}, {check.where}: printed {check.printed}, ours {outcome.found} (±{check.tolerance})"
    )


def test_every_check_and_limit_names_a_registered_source() -> None:
    named = {row.source for row in (*checks(), *limits())}
    assert named - set(SOURCES) == set()


def test_no_check_is_written_twice() -> None:
    rows = [(check.call, str(check.args), check.pick, check.source) for check in checks()]
    assert len(rows) == len(set(rows))


def test_names_of_limits_are_unique() -> None:
    names = [limit.name for limit in limits()]
    assert len(names) == len(set(names))


def test_a_wider_tolerance_is_really_wider() -> None:
    """A `why` beside a tolerance no wider than the printing leaves would be a false excuse."""
    narrow = [
        check.what
        for check in checks()
        if check.why and check.tolerance and check.tolerance <= half_last_digit(printed=check.printed)
    ]
    assert narrow == []


def test_a_wrong_figure_fails_its_check() -> None:
    """The net is not loose: each numeric check moved by more than its tolerance no longer holds."""
    numeric = [check for check in checks() if check.tolerance]
    caught = [
        run(check=replace(check, printed=str(Decimal(run(check=check).found) + 3 * check.tolerance))).holds
        for check in numeric[:80]
    ]
    assert len(numeric) > 60
    assert not any(caught)


def test_the_evidence_covers_every_source_once_and_holds() -> None:
    rows = evidence()
    assert sorted(row.source.key for row in rows) == sorted(SOURCES)
    assert all(row.holding == len(row.outcomes) for row in rows)
    assert sum(len(row.outcomes) for row in rows) == len(checks())
