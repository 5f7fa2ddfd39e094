"""A commission brought to where money begins: design agreed, stone chosen, prices kept."""

from __future__ import annotations

import datetime
from decimal import Decimal

from commissions.design import computing
from commissions.design.actions import answer_revision, draft_revision, send_revision
from commissions.money.actions import keep_prices
from commissions.money.actions.prices import NewPrice
from commissions.record.models import Commission
from commissions.sourcing.actions import add_candidate, choose_stone
from studio import clock
from studio.people.access import SESSION_KEY
from studio.people.actions.client import begin_session
from studio.people.models import ClientSession

PRICES = [
    NewPrice(kind="metal", name="Au", price=Decimal("2400"), cost=Decimal("2400")),
    NewPrice(kind="metal", name="Pt", price=Decimal("900"), cost=Decimal("900")),
    NewPrice(kind="metal-markup", price=Decimal("18")),
    NewPrice(kind="stone-markup", price=Decimal("25")),
    *[
        NewPrice(kind="melee", name=f"{size:.2f}", price=Decimal("14.50"), cost=Decimal("8.20"))
        for size in computing.DEFAULT_SIZES_MM
    ],
    NewPrice(kind="hour", price=Decimal("62"), cost=Decimal("31")),
    NewPrice(kind="step", name="Model", price=Decimal("2.5")),
    NewPrice(kind="step", name="Mounting", price=Decimal("6")),
    NewPrice(kind="set-centre", price=Decimal("85"), cost=Decimal("45")),
    NewPrice(kind="set-halo", price=Decimal("9.50"), cost=Decimal("6")),
    NewPrice(kind="finishing", price=Decimal("95"), cost=Decimal("40")),
    NewPrice(kind="marking", price=Decimal("38"), cost=Decimal("22")),
    NewPrice(kind="delivery", price=Decimal("64"), cost=Decimal("48")),
]


def to_stones(*, commission: Commission, owner, price_minor: int = 210000):
    """Design agreed, one stone chosen; the chosen stone."""
    parameters = computing.standard(
        centre={"cut": "round", "diameter_mm": 6.51},
        depth_mm=4.02,
        circumference_mm=54.0,
        metal="18ct white Pd",
    )
    revision = draft_revision(commission=commission, parameters=parameters, person=owner)
    send_revision(revision=revision, person=owner)
    answer_revision(revision=revision, kind="agree", words="", by_words=commission.client.full_name)
    commission.refresh_from_db()
    stone = add_candidate(
        commission=commission,
        name="Round 6.51",
        outline={"cut": "round", "diameter_mm": 6.51},
        length_hmm=651,
        width_hmm=651,
        depth_hmm=402,
        weight_mct=1050,
        origin="natural",
        person=owner,
        price_minor=price_minor,
        currency=commission.currency,
        owner="us",
    )
    choose_stone(stone=stone, by_words=commission.client.full_name)
    return stone


def prices(*, owner, currency: str = "GBP"):
    """The price list of the tests."""
    return keep_prices(currency=currency, source="invented for the tests", prices=PRICES, person=owner)


def sign_in(browser, access, *, stepped_up: bool = False) -> None:
    """Let *browser* be the client of *access*."""
    key = begin_session(access=access, agent="tests")
    session = browser.session
    session[SESSION_KEY] = key
    session.save()
    if stepped_up:
        ClientSession.objects.filter(access=access).update(
            stepped_up_until=clock.now() + datetime.timedelta(minutes=10)
        )


def agreed_price(*, commission: Commission, owner, lines=None, **terms):
    """The commission with a quotation that its client has agreed to; the quotation."""
    from commissions.money import actions
    from commissions.money import bundle as bundles
    from commissions.money.views.quotation import _worked

    prices(owner=owner, currency=commission.currency)
    to_stones(commission=commission, owner=owner)
    quote = actions.draft_quote(
        commission=commission, lines=lines or _worked(commission).lines, person=owner, **terms
    )
    actions.send_quote(quote=quote, person=owner)
    commission.refresh_from_db()
    quote.refresh_from_db()
    actions.approve(
        quote=quote,
        shown_digest=bundles.digest(bundles.bundle(commission=commission, quote=quote)),
        consent="test",
        method="test",
        by_words=commission.client.full_name,
    )
    return quote
