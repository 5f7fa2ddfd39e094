"""Reads of the check sheet."""

from __future__ import annotations

from dataclasses import dataclass

from commissions.bench.models import CheckAnswer, CheckSheet, Verdict
from commissions.bench.sheet import LINES, REOPENED_BY_A_FIX, SheetLine
from commissions.design.queries import agreed
from commissions.record.models import Commission


@dataclass(frozen=True, kw_only=True)
class LineStanding:
    """One line with its answers; ``reopened`` where a fix came after its last answer."""

    line: SheetLine
    answer: CheckAnswer | None
    answers: list[CheckAnswer]
    reopened: bool

    @property
    def is_settled(self) -> bool:
        """Whether nothing more is to be done on this line."""
        return self.answer is not None and self.answer.verdict != Verdict.FIX and not self.reopened


def sheet_of(*, commission: Commission) -> CheckSheet | None:
    """The check sheet of a ring, if it was begun."""
    return CheckSheet.objects.filter(commission=commission).select_related("final_by").first()


def halo_figures(*, commission: Commission) -> dict | None:
    """The figures of the agreed halo's layout; None where there is no design or no halo."""
    revision = agreed(commission=commission)
    layout = revision.outputs.get("layout") if revision else None
    return layout["figures"] if layout and layout.get("feasible") else None


def _mended(answers: list[CheckAnswer]) -> tuple[int, bool]:
    """The last answer by which a fix was closed, and whether one is open still."""
    latest, is_open = 0, False
    for number in {row.line for row in answers}:
        own = [row for row in answers if row.line == number]
        fixes = [row.pk for row in own if row.verdict == Verdict.FIX]
        if not fixes:
            continue
        after = [row.pk for row in own if row.pk > fixes[-1]]
        is_open = is_open or not after
        latest = max(latest, after[0] if after else fixes[-1])
    return latest, is_open


def standings(*, sheet: CheckSheet | None) -> list[LineStanding]:
    """
    Every line of the sheet with where it stands.

    A test that depends on the work has to be made again after a fix was *closed*: tried while the fix was
    still open, it says nothing about the ring as it is now.
    """
    answers = list(sheet.answers.select_related("person", "photo__picture")) if sheet else []
    mended, is_open = _mended(answers)
    rows = []
    for line in LINES:
        own = [row for row in answers if row.line == line.number]
        last = own[-1] if own else None
        reopened = (
            bool(last)
            and line.number in REOPENED_BY_A_FIX
            and last.verdict != Verdict.FIX
            and (last.pk < mended or is_open)
        )
        rows.append(LineStanding(line=line, answer=last, answers=own, reopened=reopened))
    return rows
