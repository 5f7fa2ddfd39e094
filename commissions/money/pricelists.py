"""Which prices and which tax code hold today."""

from __future__ import annotations

from decimal import Decimal

from commissions.money.models import Price, PriceList, TaxCode
from studio import clock
from studio.amounts import exponent


class PriceTable:
    """The rows of one price list by kind and name, in minor units."""

    def __init__(self, price_list: PriceList) -> None:
        self.list = price_list
        self.scale = Decimal(10) ** exponent(price_list.currency)
        self.rows = {(row.kind, row.name): row for row in price_list.prices.all()}

    def get(self, kind: str, name: str = "") -> Price | None:
        return self.rows.get((kind, name))

    def of(self, kind: str) -> list[Price]:
        return [row for (row_kind, _name), row in self.rows.items() if row_kind == kind]

    def percent(self, kind: str) -> Decimal:
        row = self.get(kind)
        return row.price if row else Decimal(0)

    def minor(self, amount: Decimal) -> Decimal:
        return amount * self.scale

    @property
    def since(self) -> dict:
        return {"price list": self.list.pk, "from": self.list.from_on.isoformat(), "source": self.list.source}


def price_list(*, currency: str) -> PriceList | None:
    """The price list that holds today in a currency."""
    return (
        PriceList.objects.filter(currency=currency, from_on__lte=clock.today())
        .prefetch_related("prices")
        .order_by("-from_on", "-id")
        .first()
    )


def proposed_tax(*, country: str) -> TaxCode | None:
    """
    The tax code proposed for a country of delivery: its own, or the one for all other countries.

    A proposal only: the owner decides, and checks the local rules.
    """
    rows = TaxCode.objects.filter(active=True)
    return rows.filter(country=country).first() or rows.filter(country="").first()
