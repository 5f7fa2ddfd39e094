"""Reads of the check sheet."""

from __future__ import annotations

from dataclasses import dataclass

from commissions.bench.models import CheckAnswer, CheckSheet, Verdict
from commissions.bench.sheet import LINES, REOPENED_BY_A_FIX, SheetLine
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


def standings(*, sheet: CheckSheet | None) -> list[LineStanding]:
    """Every line of the sheet with where it stands."""
    answers = list(sheet.answers.select_related("person", "photo__picture")) if sheet else []
    last_fix = max((row.pk for row in answers if row.verdict == Verdict.FIX), default=0)
    rows = []
    for line in LINES:
        own = [row for row in answers if row.line == line.number]
        last = own[-1] if own else None
        reopened = (
            bool(last)
            and line.number in REOPENED_BY_A_FIX
            and last.verdict != Verdict.FIX
            and last.pk < last_fix
        )
        rows.append(LineStanding(line=line, answer=last, answers=own, reopened=reopened))
    return rows
