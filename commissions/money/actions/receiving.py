"""Receiving: instalments asked for, receipts, and what is earned at handover."""

from __future__ import annotations

import datetime
from fractions import Fraction

from django.db import transaction

from commissions.money.actions.agreeing import ask_to_begin
from commissions.money.actions.posting import credit, debit, post
from commissions.money.models import Entry, Instalment
from commissions.money.plans import EVENTS, share_of
from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock

DUE_DAYS = 7


@transaction.atomic
def request_instalment(*, instalment: Instalment) -> None:
    """
    Ask the client for an instalment, less what is settled already.

    Effects, in order: the instalment is marked as asked for, once; the client's question is opened,
    unless it is settled already.
    """
    from commissions.money import queries

    quote = instalment.quote
    commission = quote.commission
    due = clock.today() + datetime.timedelta(days=DUE_DAYS)
    Instalment.objects.filter(pk=instalment.pk, requested_at__isnull=True).update(
        requested_at=clock.now(), due_on=due
    )
    if queries.outstanding(instalment=instalment) <= 0:
        _settle_questions(commission=commission, by_words="what is settled already")
        return
    key = "money.first-instalment" if instalment.number == 1 else f"money.instalment:{instalment.number}"
    open_question(
        commission=commission,
        key=key,
        addressee=Turn.CLIENT,
        words=f"Pay instalment {instalment.number}",
        client_words="Your next instalment is due",
        path=f"/studio/commissions/{commission.reference}/money/",
        client_path=f"/yours/{commission.reference}/money/",
        due_on=due,
        blocking=instalment.number == 1,
    )


@transaction.atomic
def event_happened(*, commission: Commission, event: str) -> int:
    """
    Ask for the instalments that are due at an event (``stones-set``, ``dispatch``); how many there were.

    Effects: every instalment of the agreed plan that waits for the event and was not asked for is asked for.
    A repeat asks for nothing twice.

    Raises:
        KeyError: there is no such event.
    """
    from commissions.money import queries

    if event not in EVENTS:
        raise KeyError(event)
    quote = queries.accepted_quote(commission=commission)
    if quote is None:
        return 0
    waiting = list(quote.instalments.filter(event=event, requested_at__isnull=True).select_related("quote"))
    for instalment in waiting:
        request_instalment(instalment=instalment)
    return len(waiting)


@transaction.atomic
def post_receipt(
    *,
    commission: Commission,
    minor: int,
    currency: str,
    reference: str,
    by_words: str,
    on: datetime.date | None = None,
    into: str = "bank",
    memo: str = "",
) -> Entry:
    """
    Enter money that has come in for a commission; the same *reference* is entered once, however often it is sent.

    Effects, in order: bank is debited and the client's instalments are credited (a liability until
    handover), the tax in them to tax due; questions about instalments that are
    settled by it are answered; when the first is settled
    the bench is asked to begin.

    Raises:
        Refused: the sum is not more than nought, or the currency is another.
    """
    if minor <= 0:
        raise Refused("A receipt is more than nought; money that goes out is a refund.")
    if currency != commission.currency:
        raise Refused(
            f"This commission is kept in {commission.currency}: enter the sum in that currency with its rate."
        )
    # One receipt of a commission at a time: the tax in it depends on what came before.
    Commission.objects.select_for_update().get(pk=commission.pk)
    held = "held" if commission.stage != Stage.CARE else "sales-rings"
    tax = _tax_in(commission=commission, minor=minor)
    entry = post(
        key=f"receipt:{commission.reference}:{reference}",
        kind="receipt",
        currency=currency,
        lines=[
            debit(into, minor, commission=commission),
            credit("tax-due", tax, commission=commission),
            credit(held, minor - tax, commission=commission),
        ],
        memo=memo or f"Received from {commission.client.full_name}",
        by_words=by_words,
        on=on,
        source=reference,
        commission=commission,
    )
    _settle_questions(commission=commission, by_words=by_words)
    return entry


def _tax_in(*, commission: Commission, minor: int) -> int:
    """
    The tax in a receipt: the tax of the agreed price in proportion to all that is settled with it, less what
    was entered before, so that the last receipt brings it to the sum of the rounded lines exactly.
    """
    from commissions.money import queries

    sums = queries.agreed_sums(commission=commission)
    if not sums["tax"] or not sums["gross"]:
        return 0
    paid = min(queries.settled(commission=commission) + minor, sums["gross"])
    due = share_of(total_minor=sums["tax"], share=Fraction(paid, sums["gross"]))
    return max(0, min(minor, due - queries.tax_entered(commission=commission)))


def _settle_questions(*, commission: Commission, by_words: str) -> None:
    from commissions.money import queries

    quote = queries.accepted_quote(commission=commission)
    if quote is None:
        return
    for instalment in quote.instalments.all():
        if queries.outstanding(instalment=instalment) > 0:
            continue
        first = instalment.number == 1
        key = "money.first-instalment" if first else f"money.instalment:{instalment.number}"
        answer_question(commission=commission, key=key, by_words=by_words)
        if first and commission.stage == Stage.AGREEMENT:
            ask_to_begin(commission=commission)


@transaction.atomic
def recognise_at_handover(*, commission: Commission, by_words: str) -> Entry | None:
    """
    What was held becomes a sale: the client has the ring. None where nothing is held.

    Effects: instalments held are debited, tax due and sales are credited; stones and metal bought for it go
    from stock to the cost of rings. A repeat takes only what has come in since.
    """
    from commissions.money import queries

    Commission.objects.select_for_update().get(pk=commission.pk)
    held = queries.held(commission=commission)
    if held <= 0:
        return None
    tax = queries.agreed_sums(commission=commission)["tax"]
    tax = max(0, min(tax - queries.tax_entered(commission=commission), held))
    before = Entry.objects.filter(commission=commission, kind="handover").count()
    key = f"handover:{commission.reference}" + (f":{before}" if before else "")
    stock = queries.stock(commission=commission)
    return post(
        key=key,
        kind="handover",
        currency=commission.currency,
        lines=[
            debit("held", held, commission=commission),
            credit("tax-due", tax, commission=commission),
            credit("sales-rings", held - tax, commission=commission),
            debit("cost-rings", sum(stock.values()), commission=commission),
            *[credit(code, minor, commission=commission) for code, minor in stock.items()],
        ],
        memo="The client has the ring",
        by_words=by_words,
        source=key,
        commission=commission,
    )
