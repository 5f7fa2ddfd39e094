"""Papers beside quotation and receipt: agreement, change note, payment request, account, cancellation, invoice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.conf import settings
from django.utils.translation import gettext_lazy as _

from commissions.money import bundle as bundles
from commissions.money import papers, queries
from commissions.money.cancellation import statement
from commissions.money.models import (
    Approval,
    ChangeNote,
    ChangeStatus,
    Entry,
    Instalment,
    PaperKind,
)
from commissions.record.models import Commission


@dataclass(frozen=True, kw_only=True)
class Found:
    """What a paper stands for, and how its contents are gathered when it is made."""

    subject: str
    contents: Callable[[], dict]


def _base(commission: Commission) -> dict:
    approval = queries.standing_approval(commission=commission)
    return {
        "commission": commission,
        "reference": commission.reference,
        "currency": commission.currency,
        "fingerprint": bundles.short(approval.digest) if approval else "",
        "studio_address": settings.STUDIO_ADDRESS,
    }


def _agreement(commission: Commission, pk: int) -> Found | None:
    row = (
        Approval.objects.select_related("quote__revision", "quote__commission")
        .filter(commission=commission, pk=pk)
        .first()
    )
    if row is None:
        return None
    notes = row.bundle.get("changes", [])
    return Found(
        subject=f"approval:{pk}",
        contents=lambda: {
            **papers.quotation(quote=row.quote),
            "approval": row,
            "changes": notes,
            "fingerprint": bundles.short(row.digest),
            "engraving": row.bundle.get("engraving", ""),
        },
    )


def _change(commission: Commission, pk: int) -> Found | None:
    row = ChangeNote.objects.filter(commission=commission, pk=pk, status=ChangeStatus.APPROVED).first()
    return row and Found(subject=f"change:{pk}", contents=lambda: {**_base(commission), "note": row})


def _request(commission: Commission, pk: int) -> Found | None:
    row = Instalment.objects.filter(quote__commission=commission, pk=pk, requested_at__isnull=False).first()
    return row and Found(
        subject=f"request:{pk}",
        contents=lambda: {
            **_base(commission),
            "instalment": row,
            "open": queries.outstanding(instalment=row),
        },
    )


def _account(commission: Commission, pk: int) -> Found | None:
    last = Entry.objects.filter(commission=commission).order_by("-pk").values_list("pk", flat=True).first()
    if last is None or pk:
        return None
    quote = queries.accepted_quote(commission=commission)
    return Found(
        subject=f"account:{commission.reference}:{last}",
        contents=lambda: {
            **_base(commission),
            "rows": queries.client_account(commission=commission),
            "plan": queries.plan_rows(quote=quote) if quote else [],
            "settled": queries.settled(commission=commission),
            "agreed": queries.agreed_sums(commission=commission)["gross"],
        },
    )


def _cancellation(commission: Commission, pk: int) -> Found | None:
    row = (
        Entry.objects.filter(commission=commission, pk=pk, kind="cancellation")
        .prefetch_related("postings__account")
        .first()
    )
    if row is None:
        return None
    sides = {posting.account.code: abs(posting.minor) for posting in row.postings.all()}
    # What is kept is the sale of services with the tax that stays in it.
    kept = sides.get("sales-services", 0) + queries.tax_entered(commission=commission)
    return Found(
        subject=f"cancellation:{pk}",
        contents=lambda: {
            **_base(commission),
            "entry": row,
            "rows": statement(commission=commission).rows,
            "refund": sides.get("refunds-due", 0),
            "kept": kept,
        },
    )


def _invoice(commission: Commission, pk: int) -> Found | None:
    row = Entry.objects.filter(commission=commission, pk=pk, kind__in=SALES).first()
    quote = queries.accepted_quote(commission=commission)
    if row is None or quote is None:
        return None
    return Found(
        subject=f"invoice:{pk}",
        contents=lambda: {
            **_base(commission),
            "entry": row,
            "quote": quote,
            "lines": list(quote.lines.all()),
            "totals": queries.totals(quote=quote),
            "notes": ChangeNote.objects.filter(commission=commission, status=ChangeStatus.APPROVED),
            "sums": queries.agreed_sums(commission=commission),
            "settled": queries.settled(commission=commission),
        },
    )


SALES = ("completion", "handover")
"""Kinds of entries that book the sale of a ring: the first of them has the invoice."""

WORDS = {
    PaperKind.AGREEMENT: _("Commission agreement"),
    PaperKind.CHANGE: _("Change note"),
    PaperKind.REQUEST: _("Payment request"),
    PaperKind.STATEMENT: _("Statement of account"),
    PaperKind.CANCELLATION: _("Cancellation statement"),
    PaperKind.INVOICE: _("Invoice"),
}

FINDERS: dict[str, Callable[[Commission, int], Found | None]] = {
    PaperKind.AGREEMENT: _agreement,
    PaperKind.CHANGE: _change,
    PaperKind.REQUEST: _request,
    PaperKind.STATEMENT: _account,
    PaperKind.CANCELLATION: _cancellation,
    PaperKind.INVOICE: _invoice,
}


def find(*, commission: Commission, kind: str, pk: int) -> Found | None:
    """The paper of a kind for one thing of a commission, or None where there is no such thing."""
    finder = FINDERS.get(kind)
    return finder(commission, pk) if finder else None


def papers_of(*, commission: Commission) -> list[dict]:
    """Which of these papers a commission can have now: kind, key and words, in the order of the work."""
    rows = [
        (PaperKind.AGREEMENT, pk)
        for pk in Approval.objects.filter(commission=commission).values_list("pk", flat=True)
    ]
    rows += [
        (PaperKind.CHANGE, pk)
        for pk in ChangeNote.objects.filter(commission=commission, status=ChangeStatus.APPROVED).values_list(
            "pk", flat=True
        )
    ]
    rows += [
        (PaperKind.REQUEST, pk)
        for pk in Instalment.objects.filter(
            quote__commission=commission, quote__status="accepted", requested_at__isnull=False
        ).values_list("pk", flat=True)
    ]
    entries = list(Entry.objects.filter(commission=commission).values_list("kind", "pk"))
    rows += [(PaperKind.CANCELLATION, pk) for kind, pk in entries if kind == "cancellation"]
    rows += [(PaperKind.INVOICE, pk) for kind, pk in entries if kind in SALES][:1]
    if entries:
        rows.append((PaperKind.STATEMENT, 0))
    return [{"kind": PaperKind(kind).value, "pk": pk, "words": WORDS[kind]} for kind, pk in rows]
