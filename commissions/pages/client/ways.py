"""The ways between a client's pages: only those that lead to something."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from django.urls import Resolver404, resolve
from django.utils.translation import gettext_lazy as _

from commissions.bench.queries import released_photos
from commissions.design.queries import newest
from commissions.money.actions.withdrawing import may_withdraw
from commissions.money.models import Quote, QuoteStatus
from commissions.record.models import Commission
from commissions.record.route import ROUTE, Stage


@dataclass(frozen=True, kw_only=True)
class Way:
    """One way: its words, the last part of its address, and when it has something to show."""

    words: str
    leads_to: str
    offers: Callable[[Commission], bool]


def _from(stage: str) -> Callable[[Commission], bool]:
    return lambda commission: ROUTE.index(commission.stage) >= ROUTE.index(stage)


def _priced(commission: Commission) -> bool:
    return Quote.objects.filter(commission=commission).exclude(status=QuoteStatus.DRAFT).exists()


WAYS = [
    Way(words=_("Your ring"), leads_to="", offers=lambda _commission: True),
    Way(
        words=_("Design"),
        leads_to="design",
        offers=lambda commission: newest(commission=commission) is not None,
    ),
    Way(words=_("Price and payments"), leads_to="money", offers=_priced),
    Way(
        words=_("Progress"),
        leads_to="progress",
        offers=lambda commission: released_photos(commission=commission).exists(),
    ),
    Way(words=_("Messages"), leads_to="messages", offers=lambda _commission: True),
    Way(words=_("Delivery"), leads_to="delivery", offers=_from(Stage.HANDOVER)),
    Way(words=_("Care"), leads_to="care", offers=_from(Stage.CARE)),
    Way(
        words=_("Withdraw from the contract"),
        leads_to="withdraw",
        offers=lambda commission: may_withdraw(commission=commission),
    ),
]


def _stands(address: str) -> bool:
    try:
        resolve(address)
    except Resolver404:
        return False
    return True


def client_ways(*, commission: Commission, path: str) -> list[dict]:
    """The ways of one commission, with the one that *path* is on marked as current."""
    root = f"/yours/{commission.reference}/"
    ways = []
    for way in WAYS:
        address = f"{root}{way.leads_to}/" if way.leads_to else root
        if _stands(address) and way.offers(commission):
            current = path == address or (bool(way.leads_to) and path.startswith(address))
            ways.append({"words": way.words, "address": address, "current": current})
    return ways
