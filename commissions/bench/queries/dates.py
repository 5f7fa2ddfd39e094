"""Reads of date-change notices."""

from __future__ import annotations

from commissions.bench.models import DateNotice, DateReply
from commissions.record.models import Commission, Question

CANCEL = "bench.cancel:"
"""Key of the question that a client's wish to cancel is, up to the notice."""


def date_notices(*, commission: Commission):
    """The notices of a commission with what was said to them, the newest first."""
    return (
        DateNotice.objects.filter(commission=commission)
        .select_related("person")
        .prefetch_related("answers")
        .order_by("-number")
    )


def standing_of(*, notice: DateNotice) -> str:
    """What was last said to a notice; empty while it waits."""
    last = max(notice.answers.all(), key=lambda row: row.pk, default=None)
    return last.kind if last else ""


def open_notice(*, commission: Commission) -> DateNotice | None:
    """The newest notice, while the client may still accept it."""
    newest = date_notices(commission=commission).first()
    if newest and standing_of(notice=newest) in ("", DateReply.CANCEL):
        return newest
    return None


def wishes_to_cancel(*, commission: Commission) -> Question | None:
    """The open question that a client's wish to cancel is."""
    return Question.objects.filter(
        commission=commission, key__startswith=CANCEL, answered_at__isnull=True
    ).first()


def notice_of(*, question: Question) -> DateNotice | None:
    """The notice that a question to the client asks about."""
    kind, _, number = question.key.partition(":")
    if kind != "bench.date" or not number.isdecimal():
        return None
    return DateNotice.objects.filter(pk=int(number), commission=question.commission_id).first()
