"""The ledger for others to read: CSV, and plain-text double entry in the syntax of beancount."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterator

from commissions.money.models import Account, Entry, Kind, Posting
from studio.amounts import from_minor

TOPS = {
    Kind.ASSET: "Assets",
    Kind.LIABILITY: "Liabilities",
    Kind.EQUITY: "Equity",
    Kind.INCOME: "Income",
    Kind.EXPENSE: "Expenses",
}
COLUMNS = ("entry", "date", "kind", "memo", "source", "piece", "account", "currency", "debit", "credit")


def account_name(account: Account) -> str:
    """Name of an account in plain-text double entry: ``Liabilities:Held:GBP``."""
    words = "-".join(word.capitalize() for word in account.code.split("-"))
    return f"{TOPS[Kind(account.kind)]}:{words}:{account.currency}"


def csv_rows() -> Iterator[str]:
    """The whole ledger as CSV, one posting a line, in the order of entry; streamed."""
    yield _line(COLUMNS)
    rows = Posting.objects.select_related("entry", "account", "commission").order_by("id")
    for row in rows.iterator(chunk_size=2000):
        amount = from_minor(minor=abs(row.minor), currency=row.account.currency)
        yield _line(
            (
                row.entry_id,
                row.entry.on.isoformat(),
                row.entry.kind,
                _calm(row.entry.memo),
                _calm(row.entry.source),
                row.commission.reference if row.commission else "",
                row.account.code,
                row.account.currency,
                f"{amount:f}" if row.minor > 0 else "",
                f"{amount:f}" if row.minor < 0 else "",
            )
        )


def _calm(text: str) -> str:
    """Text that a spreadsheet will not take for a formula."""
    return f"'{text}" if text[:1] in ("=", "+", "-", "@", "\t", "\r") else text


def _line(values) -> str:
    file = io.StringIO()
    csv.writer(file, lineterminator="\r\n").writerow(values)
    return file.getvalue()


def beancount_rows() -> Iterator[str]:
    """The whole ledger as plain-text double entry, streamed; accounts are opened on the day of the first entry."""
    first = Entry.objects.order_by("on").values_list("on", flat=True).first()
    if first is None:
        return
    for account in Account.objects.order_by("currency", "code"):
        yield f"{first.isoformat()} open {account_name(account)} {account.currency}\n"
    names = {account.pk: (account_name(account), account.currency) for account in Account.objects.all()}
    entries = Entry.objects.prefetch_related("postings").select_related("commission").order_by("id")
    for entry in entries.iterator(chunk_size=1000):
        yield f'\n{entry.on.isoformat()} * "{_quoted(entry.memo)}"\n  entry: "{entry.pk}"\n'
        if entry.source:
            yield f'  source: "{_quoted(entry.source)}"\n'
        for row in entry.postings.all():
            name, currency = names[row.account_id]
            yield f"  {name}  {from_minor(minor=row.minor, currency=currency):f} {currency}\n"


def _quoted(text: str) -> str:
    return " ".join(text.replace("\\", "\\\\").replace('"', '\\"').split())
