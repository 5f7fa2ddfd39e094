"""Statements into the ledger: what names a commission is its receipt, what does not waits in a tray."""

from __future__ import annotations

import re
import uuid
from dataclasses import dataclass

from django.db import transaction

from commissions.money import queries
from commissions.money.accounts import account
from commissions.money.actions.exchanging import Foreign
from commissions.money.actions.posting import credit, debit, post, reverse
from commissions.money.actions.receiving import post_receipt
from commissions.money.models import Account, BankLine, LineState
from commissions.money.statements import Row
from commissions.record.errors import Refused
from commissions.record.models import Commission
from studio import clock
from studio.people.models import Person
from studio.references import ALPHABET
from studio.trail.actions import record as write_trail

REFERENCE = re.compile(rf"(?<![A-Z0-9])([{ALPHABET}]{{3}})[ -]?([{ALPHABET}]{{3}})(?![A-Z0-9])")


@dataclass(kw_only=True)
class Imported:
    """
    What a statement gave: lines that are new and matched, new and not matched, out, known before, and those
    that may be the same payment as another and wait for the owner's answer.
    """

    matched: int = 0
    unmatched: int = 0
    out: int = 0
    known: int = 0
    asked: int = 0


def commission_named(*, words: str, currency: str) -> Commission | None:
    """The one commission in this currency that *words* name by its reference; None where none or several."""
    names = {f"{a}-{b}" for a, b in REFERENCE.findall(words.upper())}
    found = list(Commission.objects.filter(reference__in=names, currency=currency)[:2])
    return found[0] if len(found) == 1 else None


def import_rows(*, rows: list[Row], person: Person) -> Imported:
    """
    Book the lines of a statement, each once for good.

    Effects, in order, each line in a transaction of its own (a stop in the middle leaves whole lines, and the
    same file read again goes on): the line is written under its key; money that came in is a receipt of the
    commission it names, or goes to the tray of receipts not matched; money that went out is only listed. A
    line that may be the same payment as another is not booked before the owner has said.
    At the end the trail says what there was.
    """
    result = Imported()
    reading, keys = uuid.uuid4().hex, {row.key for row in rows}
    for row in rows:
        state = _import_row(row=row, by_words=str(person), reading=reading, keys=keys)
        setattr(result, state, getattr(result, state) + 1)
    write_trail(actor=person, verb="read a bank statement", subject="bank", facts=dict(result.__dict__))
    return result


@transaction.atomic
def _import_row(*, row: Row, by_words: str, reading: str, keys: set[str]) -> str:
    # One line of a currency at a time: whether it stands already is read and written in one go.
    Account.objects.select_for_update().get(pk=account("bank", currency=row.currency).pk)
    line, new = BankLine.objects.get_or_create(
        key=row.key,
        defaults={
            "currency": row.currency,
            "on": row.on,
            "minor": row.minor,
            "reference": row.reference,
            "counterpart": row.counterpart,
            "form": row.form,
            "account": row.account,
            "reading": reading,
            "state": LineState.OUT,
            "at": clock.now(),
        },
    )
    if not new:
        return "known"
    if row.minor <= 0:
        return "out"
    named = commission_named(words=row.reference, currency=row.currency)
    like_line = queries.line_alike(
        currency=row.currency,
        minor=row.minor,
        on=row.on,
        form=row.form,
        account=row.account,
        reading=reading,
        keys=keys,
        names=named,
    )
    like_entry = None
    if like_line is None:
        like_entry = queries.entry_alike(currency=row.currency, minor=row.minor, on=row.on, names=named)
    if like_line or like_entry:
        BankLine.objects.filter(pk=line.pk).update(
            state=LineState.ASKED, like_line=like_line, like_entry=like_entry, commission=named
        )
        return "asked"
    return _book(line=line, named=named, by_words=by_words)


def _book(*, line: BankLine, named: Commission | None, by_words: str) -> str:
    """Book a line for good: the receipt of the commission it names, or into the tray."""
    if named:
        _receipt(line=line, commission=named, by_words=by_words)
        return "matched"
    entry = post(
        key=f"unmatched:{line.key}",
        kind="unmatched",
        currency=line.currency,
        lines=[debit("bank", line.minor), credit("unmatched", line.minor)],
        memo=f"Not matched: {line.counterpart or line.reference}"[:200],
        by_words=by_words,
        on=line.on,
        source=f"statement line {line.pk}",
    )
    BankLine.objects.filter(pk=line.pk).update(state=LineState.UNMATCHED, entry=entry)
    return "unmatched"


@transaction.atomic
def answer_likeness(*, line: BankLine, same: bool, person: Person) -> str:
    """
    Say whether a line is the same payment as the other one; what has become of it (``same``, ``matched``...).

    Effects, in order: the line is claimed only if it still waits for the answer; the same payment is never
    booked, another one is booked as it would have been; the trail says so.

    Raises:
        Refused: somebody has answered already.
    """
    changed = BankLine.objects.filter(pk=line.pk, state=LineState.ASKED).update(
        state=LineState.SAME if same else LineState.OUT
    )
    if changed != 1:
        raise Refused("Somebody has answered this already.")
    line.refresh_from_db()
    became = "same" if same else _book(line=line, named=line.commission, by_words=str(person))
    write_trail(
        actor=person,
        verb="said that a payment is the same" if same else "said that a payment is another",
        subject="bank",
        facts={"line": line.pk, "as line": line.like_line_id, "as entry": line.like_entry_id},
    )
    return became


def _receipt(
    *,
    line: BankLine,
    commission: Commission,
    by_words: str,
    foreign: Foreign | None = None,
    settles: int | None = None,
) -> None:
    entry = post_receipt(
        commission=commission,
        minor=line.minor if settles is None else settles,
        currency=commission.currency,
        foreign=foreign,
        reference=f"statement line {line.pk}",
        by_words=by_words,
        on=line.on,
        memo=f"Received from {line.counterpart or commission.client.full_name}"[:200],
    )
    BankLine.objects.filter(pk=line.pk).update(state=LineState.MATCHED, entry=entry, commission=commission)


@transaction.atomic
def match_line(
    *,
    line: BankLine,
    commission: Commission,
    person: Person,
    foreign: Foreign | None = None,
    settles: int | None = None,
) -> None:
    """
    Give a receipt from the tray to its commission; *foreign* and *settles* where it came in another currency.

    Effects, in order: the line is claimed only if it still waits; its entry in the tray is turned round; the
    receipt is entered for the commission with the day the money came; the trail says so.

    Raises:
        Refused: somebody has matched it, or the commission is kept in another currency and no rate is given.
    """
    if foreign and (foreign.minor, foreign.currency) != (line.minor, line.currency):
        raise Refused("The sum is the one on the statement.")
    if commission.currency != line.currency and not (foreign and settles):
        raise Refused(
            f"{commission.reference} is kept in {commission.currency}, and this came in {line.currency}."
        )
    changed = BankLine.objects.filter(pk=line.pk, state=LineState.UNMATCHED).update(
        state=LineState.MATCHED, commission=commission
    )
    if changed != 1:
        raise Refused("Somebody has matched this one already.")
    line.refresh_from_db()
    reverse(entry=line.entry, reason=f"it is for {commission.reference}", by_words=str(person))
    _receipt(line=line, commission=commission, by_words=str(person), foreign=foreign, settles=settles)
    write_trail(actor=person, verb="matched a receipt", subject=commission.reference, facts={"line": line.pk})
