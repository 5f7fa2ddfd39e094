"""Where clients pay to."""

from __future__ import annotations

from commissions.money.models import BankDetails
from commissions.record.models import Commission
from studio import clock


def currencies() -> list[str]:
    """Currencies that any commission is kept in, and pounds to begin with."""
    return sorted({"GBP", *Commission.objects.order_by().values_list("currency", flat=True).distinct()})


def bank_details(*, currency: str) -> BankDetails | None:
    """The details that hold now in a currency."""
    return (
        BankDetails.objects.filter(currency=currency, withdrawn_at__isnull=True, live_at__lte=clock.now())
        .order_by("-live_at", "-id")
        .first()
    )


def waiting_bank_details(*, currency: str | None = None):
    """Changes whose time has not come."""
    rows = BankDetails.objects.filter(withdrawn_at__isnull=True, live_at__gt=clock.now())
    return rows.filter(currency=currency) if currency else rows
