"""What is held, settled, outstanding and committed for one commission; sums of the ledger."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, Sum

from commissions.money.accounts import MONEY_IN
from commissions.money.models import (
    ChangeNote,
    ChangeStatus,
    Commitment,
    Instalment,
    Posting,
    Quote,
    QuoteLine,
    QuoteStatus,
)
from commissions.record.models import Commission


def _sum(code: str, **where) -> int:
    return Posting.objects.filter(account__code=code, **where).aggregate(total=Sum("minor"))["total"] or 0


def held(*, commission: Commission) -> int:
    """Minor units held for the client: a liability until handover."""
    return -_sum("held", commission=commission, account__currency=commission.currency)


def settled(*, commission: Commission) -> int:
    """Minor units received for a commission so far, refunds taken off, in its currency."""
    return (
        Posting.objects.filter(
            commission=commission,
            account__code__in=MONEY_IN,
            account__currency=commission.currency,
        ).aggregate(total=Sum("minor"))["total"]
        or 0
    )


def agreed_sums(*, commission: Commission) -> dict[str, int]:
    """Net, tax and gross of what is agreed: the accepted quotation and every approved change note."""
    lines = QuoteLine.objects.filter(
        quote__commission=commission, quote__status=QuoteStatus.ACCEPTED
    ).aggregate(net=Sum("total_minor"), tax=Sum("tax_minor"))
    notes = ChangeNote.objects.filter(commission=commission, status=ChangeStatus.APPROVED).aggregate(
        net=Sum("net_minor"), tax=Sum("tax_minor")
    )
    net, tax = ((lines[key] or 0) + (notes[key] or 0) for key in ("net", "tax"))
    return {"net": net, "tax": tax, "gross": net + tax}


def stock(*, commission: Commission) -> dict[str, int]:
    """Stones and metal bought for a commission and not yet taken to its cost: minor units by account."""
    rows = (
        Posting.objects.filter(
            commission=commission,
            account__code__in=("stone-stock", "metal-stock"),
            account__currency=commission.currency,
        )
        .order_by()
        .values_list("account__code")
        .annotate(total=Sum("minor"))
    )
    return {code: total for code, total in rows if total}


def client_account(*, commission: Commission) -> list[Posting]:
    """What came in from a client and went back, oldest first, with its entries."""
    return list(
        Posting.objects.filter(
            commission=commission,
            account__code__in=MONEY_IN,
            account__currency=commission.currency,
        )
        .select_related("entry")
        .order_by("id")
    )


def refund_due(*, commission: Commission) -> int:
    """Minor units that are to be paid back to a client."""
    return -_sum("refunds-due", commission=commission, account__currency=commission.currency)


def tax_entered(*, commission: Commission) -> int:
    """Minor units of tax due that were entered for a commission so far."""
    return -_sum("tax-due", commission=commission, account__currency=commission.currency)


def held_per_currency() -> dict[str, int]:
    """Minor units held for clients, by currency."""
    rows = (
        Posting.objects.filter(account__code="held")
        .values("account__currency")
        .annotate(total=Sum("minor"))
        .order_by("account__currency")
    )
    return {row["account__currency"]: -row["total"] for row in rows if row["total"]}


@dataclass(frozen=True, kw_only=True)
class PlanRow:
    """One instalment with what of it is settled, the earlier ones first."""

    instalment: Instalment
    settled: int
    outstanding: int


def plan_rows(*, quote: Quote) -> list[PlanRow]:
    """
    The plan of a quotation: money that came in settles the instalments in their order.

    A part below nought (a change that made the ring cheaper) lowers what is owed at the end.
    """
    rows = list(Instalment.objects.filter(quote=quote).order_by("number"))
    total = sum(row.minor for row in rows)
    paid = settled(commission=quote.commission)
    before, plan = 0, []
    for row in rows:
        owed_to_here = min(before + row.minor, total)
        part = max(0, owed_to_here - before)
        missing = max(0, min(part, owed_to_here - paid))
        plan.append(PlanRow(instalment=row, settled=part - missing, outstanding=missing))
        before += row.minor
    return plan


def outstanding(*, instalment: Instalment) -> int:
    """What is still missing of an instalment, after everything before it is settled; nought when settled."""
    rows = plan_rows(quote=instalment.quote)
    return next(row.outstanding for row in rows if row.instalment.pk == instalment.pk)


def commitments(**where):
    """What was committed and stands: a commitment whose entry was turned round counts no more."""
    return Commitment.objects.filter(entry__reversed_by__isnull=True, **where)


def written_off(*, commitment: Commitment) -> int:
    """Minor units of a commitment that broke or were lost so far."""
    return (
        Posting.objects.filter(
            entry__source=f"commitment:{commitment.pk}",
            entry__commission=commitment.commission_id,
            account__code="breakage",
        ).aggregate(total=Sum("minor"))["total"]
        or 0
    )


def sold(*, commission: Commission) -> int:
    """Minor units booked as a sale of the ring so far, without tax."""
    return -_sum("sales-rings", commission=commission, account__currency=commission.currency)


def exchange_gain(*, commission: Commission) -> int:
    """Minor units that differences of rates brought for a piece; below nought where they cost."""
    return -_sum("exchange", commission=commission, account__currency=commission.currency)


def committed(*, commission: Commission) -> int:
    """Minor units committed to a job that cannot be got back any more."""
    return (
        commitments(commission=commission).aggregate(total=Sum(F("minor") - F("recoverable_minor")))["total"]
        or 0
    )


def cover(*, commission: Commission) -> float | None:
    """Money settled divided by what is committed beyond recovery; None where nothing is."""
    spent = committed(commission=commission)
    return settled(commission=commission) / spent if spent > 0 else None
