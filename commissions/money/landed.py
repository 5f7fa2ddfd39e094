"""What customs at the client's end may ask for: an estimate from rates that the studio typed, with their source."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from commissions.money.lines import rounded
from commissions.money.models import Quote


@dataclass(frozen=True, kw_only=True)
class Landed:
    """Minor units of the quotation's currency: what it is worked out on, duty, import tax and both."""

    base: int
    duty: int
    tax: int

    @property
    def both(self) -> int:
        """What the client may owe at their end."""
        return self.duty + self.tax


def landed(*, quote: Quote, net: int) -> Landed | None:
    """
    The estimate for a quotation of *net* minor units without our tax; None where no rate was typed.

    Duty is taken on the price without our tax, import tax on the price and the duty: the common way, no
    source. What customs takes as the value, and whether delivery is in it, differs by country.
    """
    if quote.landed_duty is None and quote.landed_tax is None:
        return None
    duty = rounded(Decimal(net) * (quote.landed_duty or 0) / 100)
    tax = rounded(Decimal(net + duty) * (quote.landed_tax or 0) / 100)
    return Landed(base=net, duty=duty, tax=tax)
