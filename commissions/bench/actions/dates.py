"""Writes of date-change notices: proposed by us, answered by the client; the promise moves by a yes alone."""

from __future__ import annotations

import datetime

from django.db import IntegrityError, transaction

from commissions.bench import capacity, queries
from commissions.bench.actions.steps import QUESTION as STEP
from commissions.bench.actions.steps import ask_for_current
from commissions.bench.models import DateAnswer, DateNotice, DateReply
from commissions.bench.queries.dates import CANCEL
from commissions.money.actions import agree_to_date
from commissions.record import actions as record
from commissions.record.errors import Overtaken, Refused
from commissions.record.models import Commission, Question
from commissions.record.route import State, Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

LATE = "bench.late"
"""Key of the question to us that a date which cannot be made is."""


def question_key(notice: DateNotice) -> str:
    """Key of the question that a notice is to the client."""
    return f"bench.date:{notice.pk}"


def _path(commission: Commission) -> str:
    return f"/studio/commissions/{commission.reference}/date/"


@transaction.atomic
def propose_date(
    *, commission: Commission, after: datetime.date, reason: str, answer_by: datetime.date, person: Person
) -> DateNotice:
    """
    Put a new date before the client.

    Effects, in order: a notice that still waits is taken back, and with it a wish to cancel; the notice is
    written with what the bench reckons today; the question to the client is opened, of which the sweep
    makes the letter; our own question about the late date is closed; the trail says so. The promised date
    stays as it is.

    Raises:
        Refused: the commission is closed, the date has passed or is the one that stands, or no reason is given.
    """
    missing = []
    if commission.state != State.OPEN:
        missing.append("This commission is closed.")
    if after < clock.today():
        missing.append("The new date has passed.")
    if after == commission.promised_on:
        missing.append("This is the date that is promised already.")
    if not reason.strip():
        missing.append("Say why, in words that the client reads.")
    if answer_by < clock.today():
        missing.append("The day by which you ask for an answer has passed.")
    if missing:
        raise Refused(*missing)
    standing = queries.open_notice(commission=commission)
    if standing:
        take_back_date(notice=standing, person=person)
    slack = capacity.slack_of(commission=commission)
    notice = DateNotice.objects.create(
        commission=commission,
        number=DateNotice.objects.filter(commission=commission).count() + 1,
        before=commission.promised_on,
        after=after,
        reason=reason,
        ready_on=slack.ready_on if slack else None,
        answer_by=answer_by,
        person=person,
        sent_at=clock.now(),
    )
    record.open_question(
        commission=commission,
        key=question_key(notice),
        addressee=Turn.CLIENT,
        words="Accept the new date, or cancel",
        client_words="We ask you for another date: please answer",
        path=_path(commission),
        client_path=f"/yours/{commission.reference}/date/",
        due_on=answer_by,
    )
    record.answer_question(commission=commission, key=LATE, by_words=str(person))
    write_trail(
        actor=person,
        verb="proposed a new date",
        subject=commission.reference,
        facts={"before": str(notice.before or ""), "after": str(after), "reason": reason},
    )
    return notice


def _answer(*, notice: DateNotice, kind: str, allowed: tuple[str, ...], **columns) -> DateAnswer:
    DateNotice.objects.select_for_update().get(pk=notice.pk)
    newest = queries.date_notices(commission=notice.commission).first()
    if newest != notice or queries.standing_of(notice=newest) not in allowed:
        raise Overtaken
    try:
        with transaction.atomic():
            row = DateAnswer.objects.create(notice=notice, kind=kind, at=clock.now(), **columns)
    except IntegrityError:
        raise Overtaken from None
    record.answer_question(
        commission=notice.commission, key=question_key(notice), by_words=columns["by_words"]
    )
    if record.answer_question(
        commission=notice.commission, key=f"{CANCEL}{notice.pk}", by_words=columns["by_words"]
    ):
        ask_for_current(commission=notice.commission)
    return row


@transaction.atomic
def accept_date(
    *,
    notice: DateNotice,
    consent: str,
    method: str,
    by_words: str,
    access: ClientAccess | None = None,
) -> DateAnswer:
    """
    The client accepts the new date: the only way in which an agreed date moves by a notice.

    Effects, in order: the answer is written, once; its question is closed, and so is a wish to cancel, after
    which the current step is asked for again; the promise moves and what was agreed is frozen anew with the
    new date and nothing else; the trail says so.

    Raises:
        Overtaken: the notice was answered, taken back or replaced in the meantime.
    """
    commission = notice.commission
    row = _answer(
        notice=notice,
        kind=DateReply.ACCEPTED,
        allowed=("", DateReply.CANCEL),
        consent=consent[:300],
        method=method,
        access=access,
        by_words=by_words,
    )
    agree_to_date(
        commission=commission,
        on=notice.after,
        reason=f"Date-change notice {notice.number}: {notice.reason}"[:200],
        consent=consent,
        method=method,
        by_words=by_words,
        access=access,
    )
    write_trail(
        actor=by_words,
        verb="accepted a new date",
        subject=commission.reference,
        facts={"before": str(notice.before or ""), "after": str(notice.after)},
    )
    return row


@transaction.atomic
def wish_to_cancel(
    *,
    notice: DateNotice,
    words: str,
    consent: str,
    method: str,
    by_words: str,
    access: ClientAccess | None = None,
) -> DateAnswer:
    """
    The client would rather cancel than wait. Nothing is cancelled by it.

    Effects, in order: the answer is written, once; the notice's question is closed; words go into the
    thread; the work rests: its step is not asked for any more, and a question to us is opened, which keeps
    every step from being started or finished until it is settled; the trail says so.

    Raises:
        Overtaken: the notice was answered, taken back or replaced in the meantime.
    """
    commission = notice.commission
    row = _answer(
        notice=notice,
        kind=DateReply.CANCEL,
        allowed=("",),
        words=words,
        consent=consent[:300],
        method=method,
        access=access,
        by_words=by_words,
    )
    if words.strip():
        record.post_message(commission=commission, body=words, from_client=True)
    record.answer_question(commission=commission, key=STEP, by_words="the client's wish to cancel")
    record.open_question(
        commission=commission,
        key=f"{CANCEL}{notice.pk}",
        addressee=Turn.US,
        words="The client wishes to cancel over the date: speak to them, then settle it",
        client_words="We have your wish to cancel and answer you with the statement",
        path=_path(commission),
        due_on=clock.add_working_days(clock.today(), 1),
    )
    write_trail(
        actor=by_words,
        verb="wished to cancel",
        subject=commission.reference,
        facts={"notice": notice.number},
    )
    return row


@transaction.atomic
def take_back_date(*, notice: DateNotice, person: Person) -> DateAnswer:
    """
    Take a notice back: the date that was promised stands, or another one is proposed.

    Effects, in order: that it was taken back is written; its questions are closed, and where the work rested
    the current step is asked for again; the trail says so.

    Raises:
        Overtaken: the client has accepted, or it was taken back already.
    """
    row = _answer(
        notice=notice,
        kind=DateReply.TAKEN_BACK,
        allowed=("", DateReply.CANCEL),
        by_words=str(person),
    )
    write_trail(
        actor=person,
        verb="took back a date notice",
        subject=notice.commission.reference,
        facts={"notice": notice.number},
    )
    return row


def watch_dates() -> int:
    """
    Say on every job whose promised date cannot be made any more that a new one is to be proposed; how many are new.

    Effects, for each: a question to us is opened where none stands and no notice waits; it is closed again
    where the date can be made after all.
    """
    late = {row.commission.pk: row for row in capacity.slacks() if row.late_by and row.commission.promised_on}
    asked = set(
        Question.objects.filter(key=LATE, answered_at__isnull=True).values_list("commission", flat=True)
    )
    waiting = set(
        Question.objects.filter(key__startswith="bench.date:", answered_at__isnull=True).values_list(
            "commission", flat=True
        )
    ) | set(
        Question.objects.filter(key__startswith=CANCEL, answered_at__isnull=True).values_list(
            "commission", flat=True
        )
    )
    new = [row for pk, row in late.items() if pk not in asked | waiting]
    for row in new:
        record.open_question(
            commission=row.commission,
            key=LATE,
            addressee=Turn.US,
            words=f"The promised date cannot be made, by {row.late_by} working "
            f"day{'' if row.late_by == 1 else 's'}: propose a new one",
            path=_path(row.commission),
            due_on=clock.today(),
            blocking=False,
        )
    for commission in Commission.objects.filter(pk__in=asked - set(late)):
        record.answer_question(commission=commission, key=LATE, by_words="the sweep")
    return len(new)
