"""Prices and tax codes: the studio's own, dated."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from decimal import Decimal

from django.db import transaction

from commissions.money.models import Price, PriceList, TaxCode
from commissions.record.errors import Refused
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@dataclass(frozen=True, kw_only=True)
class NewPrice:
    """One price of a list: see :class:`commissions.money.models.Price`."""

    kind: str
    price: Decimal
    name: str = ""
    cost: Decimal = Decimal(0)


@transaction.atomic
def keep_prices(
    *,
    currency: str,
    source: str,
    prices: list[NewPrice],
    person: Person,
    from_on: datetime.date | None = None,
) -> PriceList:
    """
    Keep a new list of prices; earlier lists stay as they were.

    Effects, in order: the list is written with its day and source; its prices are written; the trail says so.

    Raises:
        Refused: there is no price, a price is below nought, or one is given twice.
    """
    if not prices:
        raise Refused("A price list needs at least one price.")
    if any(row.price < 0 or row.cost < 0 for row in prices):
        raise Refused("A price is not below nought.")
    if len({(row.kind, row.name) for row in prices}) != len(prices):
        raise Refused("A price is given twice.")
    kept = PriceList.objects.create(
        currency=currency,
        from_on=from_on or clock.today(),
        source=source,
        made_by=person,
        made_at=clock.now(),
    )
    Price.objects.bulk_create(
        Price(price_list=kept, kind=row.kind, name=row.name, price=row.price, cost=row.cost) for row in prices
    )
    write_trail(actor=person, verb="kept prices", subject=f"prices:{kept.pk}", facts={"currency": currency})
    return kept


@transaction.atomic
def keep_tax_code(
    *,
    code: str,
    words: str,
    rate: Decimal,
    country: str,
    source: str,
    checked_on: datetime.date,
    person: Person,
    active: bool = True,
) -> TaxCode:
    """
    Keep a tax code, or change the one of this name; quotations that were sent keep the rate they were sent with.

    Effects, in order: the code is written; the trail says what it was and is.

    Raises:
        Refused: the rate is not between 0 and 100 percent.
    """
    if not 0 <= rate <= 100:
        raise Refused("A tax rate lies between 0 and 100 percent.")
    before = TaxCode.objects.filter(code=code).values_list("rate", flat=True).first()
    kept, _made = TaxCode.objects.update_or_create(
        code=code,
        defaults={
            "words": words,
            "rate": rate,
            "country": country,
            "source": source,
            "checked_on": checked_on,
            "active": active,
        },
    )
    write_trail(
        actor=person,
        verb="kept a tax code",
        subject=f"tax:{code}",
        facts={"before": str(before) if before is not None else "", "now": str(rate)},
    )
    return kept
