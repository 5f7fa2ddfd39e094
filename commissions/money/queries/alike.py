"""
Whether a payment may stand in the books already.

The same payment is told of by two forms of statement, by an earlier reading of a file with other columns, or
was typed by hand before the statement came. Only the owner can say; what is found here is a question.
"""

from __future__ import annotations

import datetime

from django.db.models import Q

from commissions.money.models import BankLine, Entry, LineState, Posting
from commissions.record.models import Commission

NEAR = datetime.timedelta(days=4)
"""Banks give the day of booking in one form and the day of value in another; a weekend lies between at most."""

STANDING = (LineState.MATCHED, LineState.UNMATCHED, LineState.ASKED)


def _near(on: datetime.date) -> tuple[datetime.date, datetime.date]:
    return on - NEAR, on + NEAR


def line_alike(
    *,
    currency: str,
    minor: int,
    on: datetime.date,
    form: str,
    account: str,
    reading: str,
    keys: set[str],
    names: Commission | None,
) -> BankLine | None:
    """
    A line of an earlier reading that may be the same payment: same sum and account, of the same day, or of
    the days about it where it was read from another form of statement.

    Lines that are in this file as well (*keys*) are accounted for, and each line is asked about once a
    reading; a line of another piece (*names*) is another payment.
    """
    found = (
        BankLine.objects.filter(currency=currency, minor=minor, state__in=STANDING)
        .filter(Q(on=on) | (Q(on__range=_near(on)) & ~Q(form=form)))
        .exclude(reading=reading)
        .exclude(likenesses__reading=reading)
        .order_by("on", "id")
    )
    if account:
        found = found.filter(account__in=("", account))
        if form == "camt":
            # The bank's own references differ, or it would be the same line.
            found = found.exclude(form=form)
    if names is not None:
        found = found.filter(Q(commission=names) | Q(commission=None))
    return next((row for row in found[:50] if row.key not in keys), None)


def entry_alike(*, currency: str, minor: int, on: datetime.date, names: Commission | None) -> Entry | None:
    """A receipt entered by hand, of the same sum and about the same day, that no statement has told of yet."""
    found = Posting.objects.filter(
        account__code="bank",
        account__currency=currency,
        minor=minor,
        entry__kind="receipt",
        entry__bank_line__isnull=True,
        entry__reversed_by__isnull=True,
        entry__on__range=_near(on),
    ).exclude(entry__likenesses__state__in=(LineState.ASKED, LineState.SAME))
    if names is not None:
        found = found.filter(entry__commission=names)
    row = found.select_related("entry").order_by("id").first()
    return row.entry if row else None


def receipt_alike(
    *, commission: Commission, minor: int, on: datetime.date, reference: str
) -> Entry | BankLine | None:
    """What may be the same as a receipt that is being typed: an entry of the piece, or a line in the tray."""
    entry = (
        Entry.objects.filter(
            commission=commission,
            kind="receipt",
            reversed_by__isnull=True,
            on__range=_near(on),
            postings__minor=minor,
            postings__account__code="bank",
            postings__account__currency=commission.currency,
        )
        .exclude(source=reference)
        .order_by("id")
        .first()
    )
    return (
        entry
        or BankLine.objects.filter(
            currency=commission.currency,
            minor=minor,
            on__range=_near(on),
            state__in=(LineState.UNMATCHED, LineState.ASKED),
        )
        .order_by("id")
        .first()
    )


def asked_lines() -> list[BankLine]:
    """Lines that wait for the answer whether they are the same payment as another, with that other."""
    return list(
        BankLine.objects.filter(state=LineState.ASKED)
        .select_related("like_line__commission", "like_line__entry", "like_entry__commission")
        .order_by("on", "id")[:200]
    )
