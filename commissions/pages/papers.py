"""Every paper of one commission on one shelf: of stones, of money, and those that went with the ring."""

from __future__ import annotations

import datetime
from collections import Counter
from dataclasses import dataclass

from django.urls import reverse
from django.utils.translation import gettext as _

from commissions.delivery import papers as delivery
from commissions.delivery import queries as handed
from commissions.money.models import Entry, QuoteStatus
from commissions.money.more_papers import papers_of
from commissions.money.queries import quotes
from commissions.record.models import Commission


@dataclass(frozen=True, kw_only=True)
class OnShelf:
    """One paper: its words, where it opens, when it was made, and what stands beside it."""

    words: str
    address: str
    at: datetime.datetime | None = None
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Shelf:
    """Papers that belong together."""

    title: str
    rows: list[OnShelf]


def shelves(*, commission: Commission, studio: bool, sums: bool = True) -> list[Shelf]:
    """
    The shelves of one commission that hold something; as many queries for thirty papers as for one.

    Args:
        studio: whether the addresses are the studio's, and its own papers are among them.
        sums: whether papers with sums are shown (to a jeweller they are not).
    """
    found = [
        Shelf(title=_("Price and payments"), rows=_money(commission, studio) if sums else []),
        Shelf(title=_("With the ring"), rows=_handed(commission, studio, sums)),
    ]
    return [shelf for shelf in found if shelf.rows]


def _money(commission: Commission, studio: bool) -> list[OnShelf]:
    room = "money" if studio else "money-yours"
    reference = commission.reference
    rows = [
        OnShelf(
            words=_("Quotation %(version)s") % {"version": quote.version},
            address=reverse(f"{room}:quotation-pdf", args=[reference, quote.version]),
            at=quote.sent_at,
        )
        for quote in quotes(commission=commission)
        if quote.status != QuoteStatus.DRAFT
    ]
    others = papers_of(commission=commission)
    several = Counter(row["kind"] for row in others)
    seen: Counter = Counter()
    for row in others:
        seen[row["kind"]] += 1
        number = f" {seen[row['kind']]}" if several[row["kind"]] > 1 else ""
        rows.append(
            OnShelf(
                words=f"{row['words']}{number}",
                address=reverse(f"{room}:paper-pdf", args=[reference, row["kind"], row["pk"]]),
            )
        )
    receipts = Entry.objects.filter(commission=commission, kind="receipt", reversed_by__isnull=True)
    rows += [
        OnShelf(
            words=_("Receipt"),
            address=reverse(f"{room}:receipt-pdf", args=[reference, entry.pk]),
            at=datetime.datetime.combine(entry.on, datetime.time(12), datetime.UTC),
        )
        for entry in receipts.order_by("id")
    ]
    return rows


def _handed(commission: Commission, studio: bool, sums: bool) -> list[OnShelf]:
    rows = []
    for row in handed.kept_papers(commission=commission):
        if not studio and row.kind not in delivery.CLIENTS:
            continue
        if not sums and row.kind in delivery.WITH_SUMS:
            continue
        way = "delivery:kept-paper" if studio else "delivery-yours:paper"
        notes = []
        if row.edition > 1:
            notes.append(_("edition %(number)s") % {"number": row.edition})
        if studio and row.sha256:
            notes.append(f"SHA-256 {row.sha256[:16]}…")
        if not studio and delivery.is_sealed(kind=row.kind, commission=commission):
            notes.append(_("asks for your passphrase"))
        rows.append(
            OnShelf(
                words=str(delivery.NAMES[row.kind])
                if studio
                else delivery.name_of(kind=row.kind, commission=commission),
                address=reverse(way, args=[commission.reference, row.pk]),
                at=row.at,
                note=", ".join(notes),
            )
        )
    return rows
