"""Quotations, and what was agreed."""

from __future__ import annotations

from django.db.models import Sum

from commissions.design.queries import agreed
from commissions.money import bundle as bundles
from commissions.money.changed import changes_in_words
from commissions.money.models import (
    Approval,
    ChangeNote,
    ChangeStatus,
    LineKind,
    Quote,
    QuoteLine,
    QuoteStatus,
    ShownBundle,
)
from commissions.record.errors import Missing
from commissions.record.models import Commission
from commissions.sourcing.queries import seats_without_stone


def quotes(*, commission: Commission):
    """Every version, oldest first."""
    return (
        Quote.objects.filter(commission=commission)
        .prefetch_related("lines", "instalments")
        .order_by("version")
    )


def accepted_quote(*, commission: Commission) -> Quote | None:
    """The quotation the client has agreed to."""
    return (
        Quote.objects.filter(commission=commission, status=QuoteStatus.ACCEPTED).order_by("-version").first()
    )


def open_quote(*, commission: Commission) -> Quote | None:
    """The quotation that waits for the client."""
    return Quote.objects.filter(commission=commission, status=QuoteStatus.SENT).order_by("-version").first()


def approved_changes(*, commission: Commission) -> list[ChangeNote]:
    """
    Changes that the client has approved, in their order: these and no others are made.

    A note that waits, was declined or was withdrawn never leaves the money room.
    """
    return list(
        ChangeNote.objects.filter(commission=commission, status=ChangeStatus.APPROVED)
        .only("number", "what", "days", "metal_mg", "answered_at", "status", "commission")
        .order_by("number")
    )


def seats_missing(*, commission: Commission, quote: Quote) -> list[Missing]:
    """Why a quotation cannot be sent yet: no direction, or a seat with neither stone nor priced allowance."""
    path = f"/studio/commissions/{commission.reference}"
    missing = []
    if commission.ring_id:
        return missing  # a small job has its own words and no seat of its own
    if agreed(commission=commission) is None:
        missing.append(Missing(words="The client has not agreed to a design yet.", path=f"{path}/design/"))
    priced = set(quote.lines.values_list("kind", flat=True))
    if seats_without_stone(commission=commission) and LineKind.CENTRE not in priced:
        missing.append(
            Missing(
                words="The centre seat has no chosen stone and the quotation no allowance for one.",
                path=f"{path}/stones/",
            )
        )
    return missing


def draft_quote(*, commission: Commission) -> Quote | None:
    """The draft that stands."""
    return Quote.objects.filter(commission=commission, status=QuoteStatus.DRAFT).first()


def totals(*, quote: Quote) -> dict[str, int]:
    """Net, tax, gross, cost and margin of a quotation in minor units: sums of rounded lines."""
    sums = QuoteLine.objects.filter(quote=quote).aggregate(
        net=Sum("total_minor"), tax=Sum("tax_minor"), cost=Sum("cost_minor")
    )
    net, tax, cost = (sums[key] or 0 for key in ("net", "tax", "cost"))
    return {"net": net, "tax": tax, "gross": net + tax, "cost": cost, "margin": net - cost}


def totals_of(*, quotes) -> dict[int, dict[str, int]]:
    """The same sums for many quotations by their key, from lines that were fetched with them."""
    found = {}
    for quote in quotes:
        lines = quote.lines.all()
        net, tax, cost = (
            sum(getattr(line, name) for line in lines) for name in ("total_minor", "tax_minor", "cost_minor")
        )
        found[quote.pk] = {"net": net, "tax": tax, "gross": net + tax, "cost": cost, "margin": net - cost}
    return found


def standing_approval(*, commission: Commission) -> Approval | None:
    """The approval that stands."""
    return (
        Approval.objects.select_related("quote")
        .filter(commission=commission, void_at__isnull=True)
        .order_by("-id")
        .first()
    )


def fingerprint_now(*, commission: Commission) -> str | None:
    """The short fingerprint of what is there now, or None before an agreement."""
    approval = standing_approval(commission=commission)
    if approval is None:
        return None
    return bundles.short(bundles.digest(bundles.bundle(commission=commission, quote=approval.quote)))


def approval_differences(*, commission: Commission) -> list[str]:
    """What differs between what was agreed and what is there now; empty when the fingerprint is equal."""
    approval = standing_approval(commission=commission)
    if approval is None:
        return ["there is no approval that stands"]
    now = bundles.bundle(commission=commission, quote=approval.quote)
    if bundles.digest(now) == approval.digest:
        return []
    return bundles.differences(approval.bundle, now)


def changed_since(*, quote: Quote, shown_digest: str, now: dict) -> list[str]:
    """What is different *now* from the bundle that was shown under a digest; nothing where none was shown under it."""
    shown = ShownBundle.objects.filter(quote__commission=quote.commission_id, digest=shown_digest).first()
    return changes_in_words(shown.bundle, now) if shown else []
