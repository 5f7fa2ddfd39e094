"""
Reading bank statements: CSV with a mapping of its columns, and camt.053 (ISO 20022).

Pure: bytes in, rows out. Booking is the affair of the actions.
"""

from __future__ import annotations

import csv
import datetime
import hashlib
import io
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation

from defusedxml import DefusedXmlException
from defusedxml.ElementTree import ParseError, fromstring

from studio import amounts

MOST_ROWS = 20_000


class Unreadable(ValueError):
    """A statement that cannot be read; the message says why, in the owner's words."""


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line of a statement: minor units, above nought where money came in."""

    key: str
    currency: str
    on: datetime.date
    minor: int
    reference: str
    counterpart: str
    form: str = ""
    account: str = ""


@dataclass(frozen=True, kw_only=True)
class Mapping:
    """Which column of a CSV holds what; ``date_format`` as in ``%d/%m/%Y``."""

    date: str
    amount: str
    reference: str
    counterpart: str = ""
    date_format: str = "%d/%m/%Y"


def _digest(*parts: object) -> str:
    return hashlib.sha256("\x1f".join(str(part) for part in parts).encode()).hexdigest()


def read_csv(*, content: bytes, mapping: Mapping, currency: str) -> list[Row]:
    """
    The rows of a CSV statement.

    A line has no reference of the bank's own here, so its key is a digest of what it says and, for lines
    that say the same on the same day, of their order: statements that overlap by whole days book nothing twice.

    Raises:
        Unreadable: no such column, a date or an amount that cannot be read; the line is named.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = content.decode("cp1252", errors="replace")
    try:
        dialect: type[csv.Dialect] | str = csv.Sniffer().sniff(text[:4096], delimiters=",;\t|")
    except csv.Error:
        dialect = "excel"
    reader = csv.DictReader(io.StringIO(text), dialect=dialect)
    names = [name.strip() for name in reader.fieldnames or []]
    reader.fieldnames = names
    for wanted in (mapping.date, mapping.amount, mapping.reference, mapping.counterpart):
        if wanted and wanted not in names:
            raise Unreadable(f"The file has no column “{wanted}”. It has: {', '.join(names) or 'none'}.")
    rows, seen = [], Counter()
    for number, line in enumerate(reader, start=2):
        if number > MOST_ROWS:
            raise Unreadable(f"More than {MOST_ROWS} lines: split the file.")
        if not any((value or "").strip() for value in line.values() if isinstance(value, str)):
            continue
        on = _csv_date(line[mapping.date], mapping.date_format, number)
        minor = _csv_minor(line[mapping.amount], currency, number)
        reference = (line[mapping.reference] or "").strip()[:200]
        counterpart = ((line.get(mapping.counterpart) or "") if mapping.counterpart else "").strip()[:140]
        said = (currency, on.isoformat(), minor, reference, counterpart)
        seen[said] += 1
        rows.append(
            Row(
                key=_digest("csv", *said, seen[said]),
                currency=currency,
                on=on,
                minor=minor,
                reference=reference,
                counterpart=counterpart,
                form="csv",
            )
        )
    return rows


def _csv_date(typed: str | None, shape: str, number: int) -> datetime.date:
    try:
        return datetime.datetime.strptime((typed or "").strip(), shape).replace(tzinfo=datetime.UTC).date()
    except ValueError:
        raise Unreadable(f"Line {number}: “{typed}” is no date in the form you chose.") from None


def _csv_minor(typed: str | None, currency: str, number: int) -> int:
    plain = (typed or "").strip().replace("−", "-")
    low = plain.startswith("-") or plain.endswith("-") or (plain.startswith("(") and plain.endswith(")"))
    try:
        minor = amounts.typed_to_minor(typed=plain.strip("-+() "), currency=currency)
    except ValueError:
        raise Unreadable(f"Line {number}: “{typed}” is no amount in {currency}.") from None
    return -minor if low else minor


def read_camt(*, content: bytes) -> list[Row]:
    """
    The booked entries of a camt.053 statement, of whatever version.

    A batch whose transactions carry their own amounts in the entry's currency, adding up to it, gives a row
    for each; otherwise the entry is one row. Keys are made of the account, the bank's own reference and the
    place in the batch.

    Raises:
        Unreadable: it is not XML, or not a camt.053.
    """
    try:
        root = fromstring(content, forbid_dtd=True)
    except (ParseError, DefusedXmlException, ValueError):
        raise Unreadable("This is no XML that can be read safely.") from None
    space = root.tag.partition("}")[0].lstrip("{")
    if ":camt.053." not in space:
        raise Unreadable("This is XML, but no bank statement of the form camt.053.")
    rows, seen = [], Counter()
    for statement in root.iter(f"{{{space}}}Stmt"):
        finder = _Finder(space)
        account = finder.text(statement, "Acct/Id/IBAN") or finder.text(statement, "Acct/Id/Othr/Id")
        for entry in finder.all(statement, "Ntry"):
            status = finder.text(entry, "Sts") or finder.text(entry, "Sts/Cd")
            if status.strip() != "BOOK":
                continue
            rows += _entry_rows(finder, entry, account=account, seen=seen)
    return rows


class _Finder:
    """Paths without their namespace."""

    def __init__(self, space: str) -> None:
        self.space = space

    def _path(self, path: str) -> str:
        return "/".join(f"{{{self.space}}}{step}" for step in path.split("/"))

    def all(self, node, path: str):
        return node.findall(self._path(path))

    def text(self, node, path: str) -> str:
        found = node.find(self._path(path))
        return (found.text or "").strip() if found is not None else ""

    def one(self, node, path: str):
        return node.find(self._path(path))


def _entry_rows(finder: _Finder, entry, *, account: str, seen: Counter) -> list[Row]:
    amount = finder.one(entry, "Amt")
    if amount is None:
        raise Unreadable("An entry of the statement has no amount.")
    currency = amount.get("Ccy", "")
    sign = -1 if finder.text(entry, "CdtDbtInd") == "DBIT" else 1
    total = _camt_minor(amount.text, currency)
    written = (
        finder.text(entry, "BookgDt/Dt")
        or finder.text(entry, "BookgDt/DtTm")
        or finder.text(entry, "ValDt/Dt")
    )
    try:
        on = datetime.date.fromisoformat(written[:10])
    except ValueError:
        raise Unreadable("An entry of the statement has no day.") from None
    own = finder.text(entry, "AcctSvcrRef") or finder.text(entry, "NtryRef")
    details = finder.all(entry, "NtryDtls/TxDtls")
    parts = _split(finder, details, currency=currency, total=total)
    rows = []
    for place, (detail, minor) in enumerate(parts):
        words = _reference(finder, detail) or finder.text(entry, "AddtlNtryInf")
        who = ""
        if detail is not None:
            side = "Dbtr" if sign > 0 else "Cdtr"
            who = finder.text(detail, f"RltdPties/{side}/Nm") or finder.text(
                detail, f"RltdPties/{side}/Pty/Nm"
            )
        said = (account, own, currency, on.isoformat(), sign * minor, words, place)
        seen[said] += 1
        rows.append(
            Row(
                key=_digest("camt", *said, seen[said]),
                currency=currency,
                on=on,
                minor=sign * minor,
                reference=words[:200],
                counterpart=who[:140],
                form="camt",
                account=account[:60],
            )
        )
    return rows


def _split(finder: _Finder, details: list, *, currency: str, total: int) -> list[tuple]:
    sums = []
    for detail in details:
        amount = finder.one(detail, "Amt")
        if amount is None:
            amount = finder.one(detail, "AmtDtls/TxAmt/Amt")
        if amount is None or amount.get("Ccy") != currency:
            break
        sums.append((detail, _camt_minor(amount.text, currency)))
    if len(details) > 1 and len(sums) == len(details) and sum(minor for _detail, minor in sums) == total:
        return sums
    return [(details[0] if details else None, total)]


def _camt_minor(text: str | None, currency: str) -> int:
    try:
        return amounts.to_minor(amount=Decimal((text or "").strip()), currency=currency)
    except (InvalidOperation, ValueError):
        raise Unreadable(f"“{text}” is no amount in {currency or 'a currency'}.") from None


def _reference(finder: _Finder, detail) -> str:
    if detail is None:
        return ""
    words = [(node.text or "").strip() for node in finder.all(detail, "RmtInf/Ustrd")]
    words.append(finder.text(detail, "RmtInf/Strd/CdtrRefInf/Ref"))
    if not any(words):
        end = finder.text(detail, "Refs/EndToEndId")
        words = [] if end == "NOTPROVIDED" else [end]
    return " ".join(word for word in words if word)
